import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { appendFileSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { checksumFile } from "../../../../src/capture/checksum.js";
import { inspectRecording } from "../../../../src/capture/containers/inspect-recording.js";
import { createOpenError } from "../../../../src/capture/containers/open-file.js";
import { DeskroundError, type ErrorCode } from "../../../../src/errors.js";
import { formatDoubt } from "../../../../src/report/doubts/format-doubt.js";
import {
  ascii,
  chunk,
  container,
  fmt,
  fmtExtensible,
  int16s,
  join8,
  scratchFolder,
  sized,
  thrownBy,
  u16,
  u32,
  u64,
  wav,
} from "../../wav-bytes.js";

const save = scratchFolder();
const fixtures = fileURLToPath(new URL("../../../../fixtures/wav/", import.meta.url));
const four = int16s(1, 2, 3, 4);

function refused(bytes: Uint8Array, name = "take.wav"): DeskroundError {
  const error = thrownBy(() => inspectRecording(save(name, bytes)));
  expect(error).toBeInstanceOf(DeskroundError);
  const found = error as DeskroundError;
  expect(found.message).not.toMatch(/[\n\r]/);
  return found;
}

describe("inspectRecording", () => {
  it("reads the header of every kind that another program writes", () => {
    const expected: Record<string, object> = {
      "int16-mono-44100.wav": { bits: 16, channels: 1, sampleRate: 44_100, frames: 128 },
      "int16-stereo-48000.wav": { bits: 16, channels: 2, sampleRate: 48_000, frames: 128 },
      "int24-mono-48000-odd.wav": { bits: 24, channels: 1, sampleRate: 48_000, frames: 33 },
      "int24-mono-96000-plain.wav": { bits: 24, channels: 1, sampleRate: 96_000, frames: 128 },
      "int24-8-channels-96000.wav": { bits: 24, channels: 8, sampleRate: 96_000, frames: 64 },
      "int32-stereo-96000.wav": { bits: 32, channels: 2, sampleRate: 96_000, frames: 64 },
      "int32-mono-88200-plain.wav": { bits: 32, channels: 1, sampleRate: 88_200, frames: 64 },
      "float32-mono-192000.wav": { bits: 32, channels: 1, sampleRate: 192_000, frames: 64 },
      "float64-stereo-176400.wav": { bits: 64, channels: 2, sampleRate: 176_400, frames: 64 },
      "float32-3-channels-48000.wav": { bits: 32, channels: 3, sampleRate: 48_000, frames: 64 },
    };
    for (const [name, header] of Object.entries(expected)) {
      const info = inspectRecording(join(fixtures, name));
      const sampleFormat = name.startsWith("float") ? "float" : "int";
      expect(info).toMatchObject({ ...header, sampleFormat, cues: [], doubts: [] });
      expect(info.bext).toBeUndefined();
    }
  });

  it("takes chunks in any order and skips those it does not know", () => {
    const odd = chunk("xyzw", ascii("odd"));
    const info = inspectRecording(
      save("order.wav", wav(odd, chunk("data", four), odd, fmt(), odd)),
    );
    expect(info).toMatchObject({ frames: 4, dataOffset: 12 + 12 + 8, doubts: [] });
  });

  it("finds the chunk after an odd one, with its pad byte and without", () => {
    for (const pad of [0, 1]) {
      const odd = join8(sized("xyzw", 3, ascii("odd")), new Uint8Array(pad));
      const data = join8(sized("data", 3, Uint8Array.of(1, 2, 3)), new Uint8Array(pad));
      const info = inspectRecording(
        save("pad.wav", wav(odd, fmt({ bits: 24 }), data, bextChunk("words", "me", "ref"))),
      );
      expect(info).toMatchObject({ frames: 1, bext: { description: "words" }, doubts: [] });
    }
  });

  it("takes the pad byte for no part of a chunk of unknown name", () => {
    const odd = join8(sized("xyzw", 3, ascii("odd")), Uint8Array.of(0));
    const info = inspectRecording(
      save("unknown.wav", wav(odd, chunk("mine", ascii("ab")), fmt(), chunk("data", four))),
    );
    expect(info.frames).toBe(4);
  });

  it("reads the extensible header for integers and floats", () => {
    const data = chunk("data", new Uint8Array(48));
    const int = inspectRecording(save("ext.wav", wav(fmtExtensible({ channels: 2 }), data)));
    expect(int).toMatchObject({ sampleFormat: "int", bits: 24, channels: 2, frames: 8 });
    const float = inspectRecording(save("ext.wav", wav(fmtExtensible({ tag: 3, bits: 32 }), data)));
    expect(float).toMatchObject({ sampleFormat: "float", bits: 32, frames: 12 });
  });

  // ds64: riffSize, dataSize, sampleCount (64 bits each), table length, table (EBU Tech 3306).
  it("takes the length from ds64 in RF64 and BW64", () => {
    for (const id of ["RF64", "BW64"]) {
      const ds64 = chunk("ds64", join8(u64(0), u64(8), u64(4), u32(0)));
      const open = sized("data", 0xffff_ffff, four);
      const bytes = container(id, ds64, fmt(), open, bextChunk("after", "", ""));
      const info = inspectRecording(save("long.wav", bytes));
      expect(info).toMatchObject({ frames: 4, bext: { description: "after" }, doubts: [] });
    }
  });

  it("takes the length of other long chunks from the table in ds64", () => {
    const table = join8(u32(1), ascii("big "), u64(6));
    const ds64 = chunk("ds64", join8(u64(0), u64(8), u64(4), table));
    const big = sized("big ", 0xffff_ffff, new Uint8Array(6));
    const bytes = container("RF64", ds64, big, fmt(), sized("data", 0xffff_ffff, four));
    expect(inspectRecording(save("table.wav", bytes)).frames).toBe(4);
  });

  it("reads bext and labelled cues before and after the samples", () => {
    const texts = [
      bextChunk("What was\r\nrecorded", "someone", "abc-1"),
      chunk("cue ", join8(u32(2), cuePoint(1, 100), cuePoint(7, 250))),
      chunk("LIST", join8(ascii("INFO"), chunk("ICMT", ascii("no labels here")))),
      chunk("LIST", join8(ascii("adtl"), label(7, "second, odd"), label(1, "first"))),
    ];
    for (const bytes of [
      wav(...texts, fmt(), chunk("data", four)),
      wav(fmt(), chunk("data", four), ...texts),
    ]) {
      const info = inspectRecording(save("texts.wav", bytes));
      expect(info.bext).toEqual({
        description: "What was recorded",
        originator: "someone",
        originatorReference: "abc-1",
      });
      expect(info.cues).toEqual([
        { position: 100, label: "first" },
        { position: 250, label: "second, odd" },
      ]);
    }
  });

  it("takes a cue's place from either field that writers use", () => {
    const onlyPosition = join8(u32(1, 900), ascii("data"), u32(0, 0, 0));
    const bytes = wav(fmt(), chunk("data", four), chunk("cue ", join8(u32(1), onlyPosition)));
    expect(inspectRecording(save("cue.wav", bytes)).cues).toEqual([{ position: 900, label: "" }]);
  });

  it("removes control characters from every text, and reads UTF-8 as well as Latin-1", () => {
    const sequences = "\u001b[2Jred\u0007 \u009b1m\u202Etxet\u200B";
    const utf8 = new TextEncoder().encode(`${sequences} é`);
    const bytes = wav(
      fmt(),
      chunk("data", four),
      bextChunk("caf\xe9\x1b[0m", "a\x00b", "\x7fref"),
      chunk("cue ", join8(u32(1), cuePoint(1, 1))),
      chunk("LIST", join8(ascii("adtl"), chunk("labl", join8(u32(1), utf8, u16(0))))),
    );
    const info = inspectRecording(save("control.wav", bytes));
    expect(info.bext).toEqual({
      description: "café[0m",
      originator: "a",
      originatorReference: "ref",
    });
    expect(info.cues[0].label).toBe("[2Jred 1mtxet é");
  });

  it("believes no count found in the file", () => {
    const bytes = wav(
      fmt(),
      chunk("data", four),
      chunk("cue ", join8(u32(0xffff_ffff), cuePoint(1, 5))),
      chunk("LIST", join8(ascii("adtl"), ascii("labl"), u32(0xffff_fff0, 1), ascii("hello"))),
    );
    expect(inspectRecording(save("counts.wav", bytes)).cues).toEqual([
      { position: 5, label: "hello" },
    ]);
  });

  it("measures what is there when the recorder crashed before writing the length", () => {
    const samples = int16s(...Array.from({ length: 50 }, (_, k) => k * 300));
    for (const size of [0, 0xffff_ffff]) {
      const info = inspectRecording(save("crash.wav", wav(fmt(), sized("data", size, samples))));
      expect(info.frames).toBe(50);
      expect(info.doubts.map(formatDoubt)).toEqual([
        expect.stringMatching(/crash\.wav: the recording was not closed properly/),
      ]);
    }
    const ds64 = chunk("ds64", join8(u64(0), u64(0), u64(0), u32(0)));
    const open = sized("data", 0xffff_ffff, samples);
    const info = inspectRecording(save("crash.wav", container("RF64", ds64, fmt(), open)));
    expect(info).toMatchObject({ frames: 50, doubts: [{ code: "length-not-given", bytes: 100 }] });
    expect(inspectRecording(save("crash.wav", container("RF64", fmt(), open))).frames).toBe(50);
  });

  it("leaves out an incomplete last frame and says so", () => {
    const data = sized("data", 11, new Uint8Array(11));
    const info = inspectRecording(save("tail.wav", wav(fmt({ channels: 2 }), data)));
    expect(info).toMatchObject({ frames: 2, doubts: [{ code: "last-frame-incomplete" }] });
  });

  it("warns of a second of sound or more after the end that the header gives", () => {
    const rest = new Uint8Array(96_000);
    const info = inspectRecording(save("wrapped.wav", wav(fmt(), chunk("data", four), rest)));
    expect(info.doubts.map(formatDoubt)).toEqual([
      expect.stringMatching(/96000 bytes after the 8 bytes/),
    ]);
    const tag = inspectRecording(
      save("tag.wav", wav(fmt(), chunk("data", four), new Uint8Array(128))),
    );
    expect(tag.doubts.map(formatDoubt)).toEqual([]);
  });

  it("reads what is there of samples cut short, and says so", () => {
    const info = inspectRecording(save("cut-short.wav", wav(fmt(), sized("data", 4000, four))));
    expect(info.frames).toBe(4);
    expect(info.doubts.map(formatDoubt)).toEqual([
      expect.stringMatching(
        /promises 4000 bytes of samples, but the file holds only 8: .* cut short/,
      ),
    ]);
  });

  it("warns of a chunk cut short after the samples, which are whole", () => {
    const bytes = wav(fmt(), chunk("data", four), sized("LIST", 500, ascii("adtl")));
    expect(inspectRecording(save("cut.wav", bytes)).doubts.map(formatDoubt)).toEqual([
      expect.stringMatching(/"LIST" after the samples is cut short/),
    ]);
  });

  it("uses the first recording of several and says so", () => {
    const bytes = wav(fmt(), chunk("data", four), chunk("data", four));
    expect(inspectRecording(save("two.wav", bytes)).doubts.map(formatDoubt)).toEqual([
      expect.stringMatching(/more than one recording/),
    ]);
  });
});

describe("inspectRecording refuses, in one line that names the file,", () => {
  const rows: readonly [string, Uint8Array, ErrorCode, RegExp][] = [
    ["an empty file", new Uint8Array(0), "not-a-recording", /take\.wav: the file is empty/],
    [
      "another format by its name",
      ascii("ID3\x04 and more"),
      "not-a-recording",
      /begins with `ID3`, which is not a WAV, FLAC or AIFF file/,
    ],
    ["text", ascii("notes"), "not-a-recording", /begins with `note`/],
    [
      "bytes",
      Uint8Array.of(0xff, 0xd8, 0, 1),
      "not-a-recording",
      /begins with the bytes ff d8 00 01/,
    ],
    [
      "RIFF of another form",
      join8(ascii("RIFF"), u32(4), ascii("AVI ")),
      "not-a-recording",
      /RIFF and AVI/,
    ],
    ["a lone RIFF", ascii("RIFF"), "not-a-recording", /begins with `RIFF`/],
    ["big-endian files", container("RIFX", fmt()), "recording-unsupported", /RIFX/],
    ["a file without samples", wav(fmt()), "recording-damaged", /holds no sample data/],
    [
      "a file without format",
      wav(chunk("data", four)),
      "recording-damaged",
      /holds no format chunk/,
    ],
    [
      "zero samples",
      wav(fmt(), chunk("data", new Uint8Array(0))),
      "recording-damaged",
      /holds no samples/,
    ],
    [
      "zero samples before other chunks",
      wav(fmt(), chunk("data", new Uint8Array(0)), chunk("LIST", ascii("INFO"))),
      "recording-damaged",
      /holds no samples/,
    ],
    [
      "samples cut short before the first",
      wav(fmt(), sized("data", 4000, new Uint8Array(1))),
      "recording-damaged",
      /holds no samples/,
    ],
    [
      "a chunk that runs out of the file",
      wav(sized("junk", 4000, four)),
      "recording-damaged",
      /4000 bytes in its chunk "junk"/,
    ],
    [
      "a short format chunk",
      wav(chunk("fmt ", u16(1, 1)), chunk("data", four)),
      "recording-damaged",
      /format chunk has 4 bytes/,
    ],
    [
      "a short extensible format",
      wav(fmt({ tag: 0xfffe }), chunk("data", four)),
      "recording-damaged",
      /extensible/,
    ],
    [
      "A-law",
      wav(fmt({ tag: 6, bits: 8 }), chunk("data", four)),
      "recording-unsupported",
      /A-law, format tag 6/,
    ],
    [
      "unknown tags",
      wav(fmt({ tag: 4711 }), chunk("data", four)),
      "recording-unsupported",
      /format tag 4711/,
    ],
    [
      "8 bits",
      wav(fmt({ bits: 8 }), chunk("data", four)),
      "recording-unsupported",
      /integer samples of 8 bits; 16 or more are needed/,
    ],
    [
      "20 bits that no word of its own carries",
      wav(fmt({ bits: 20 }), chunk("data", four)),
      "recording-unsupported",
      /integer samples of 20 bits; 16, 24 and 32 bits are read/,
    ],
    [
      // Microsoft, WAVEFORMATEXTENSIBLE: the bits in use stand behind the size of what follows.
      "12 bits in use of 24",
      wav(fmtExtensible({ validBits: 12 }), chunk("data", new Uint8Array(48))),
      "recording-unsupported",
      /integer samples of 12 bits; 16 or more are needed/,
    ],
    [
      "float of 16 bits",
      wav(fmt({ tag: 3 }), chunk("data", four)),
      "recording-unsupported",
      /float samples of 16 bits; 32 and 64/,
    ],
    [
      "0 channels",
      wav(fmt({ channels: 0 }), chunk("data", four)),
      "recording-damaged",
      /0 channels/,
    ],
    [
      "65 channels",
      wav(fmt({ channels: 65 }), chunk("data", four)),
      "recording-unsupported",
      /65 channels/,
    ],
    [
      "frames that do not fit",
      wav(fmt({ align: 3 }), chunk("data", four)),
      "recording-damaged",
      /need 2 bytes a frame, but it says 3/,
    ],
    [
      "low rates",
      wav(fmt({ rate: 22_050 }), chunk("data", four)),
      "recording-unsupported",
      /22050 Hz; 44.1 to 192 kHz/,
    ],
    [
      "high rates",
      wav(fmt({ rate: 384_000 }), chunk("data", four)),
      "recording-unsupported",
      /384000 Hz/,
    ],
  ];
  it.each(rows)("%s", (_, bytes, code, message) => {
    const error = refused(bytes);
    expect(error.code).toBe(code);
    expect(error.message).toMatch(message);
    expect(error.hint).toBeTruthy();
  });

  it("an unknown sub-format", () => {
    const bytes = wav(fmtExtensible(), chunk("data", four));
    bytes[12 + 8 + 30] ^= 1;
    expect(refused(bytes)).toMatchObject({ code: "recording-unsupported" });
  });

  it("what is not there, is a folder, or is a pipe", () => {
    const folder = dirname(save("x.wav", four));
    mkdirSync(join(folder, "captures"));
    execFileSync("mkfifo", [join(folder, "pipe.wav")]);
    const rows: [string, RegExp][] = [
      ["none.wav", /none\.wav: there is no such file/],
      ["x.wav/none.wav", /no such file/],
      ["captures", /captures: is a folder/],
      ["pipe.wav", /is a pipe or a device/],
    ];
    for (const [name, message] of rows) {
      const error = thrownBy(() => inspectRecording(join(folder, name)));
      expect(error).toBeInstanceOf(DeskroundError);
      expect(error).toMatchObject({
        code: "no-such-file",
        message: expect.stringMatching(message),
      });
    }
  });

  it("what may not be read", () => {
    // As root everything may be read, so the system's answer stands in for it.
    const denied = Object.assign(new Error("EACCES: permission denied"), { code: "EACCES" });
    const error = createOpenError("secret.wav", denied);
    expect(error.code).toBe("no-such-file");
    expect(error.message).toBe("secret.wav: no permission to read it.");
  });

  it("a name whose bytes are not UTF-8, which no text can hold", () => {
    const folder = join(dirname(save("x.wav", four)), "latin");
    mkdirSync(folder);
    // "Übung" in Latin-1.
    writeFileSync(Buffer.from(`${folder}/\u00dcbung.wav`, "latin1"), four);
    const [name] = readdirSync(folder);
    const error = thrownBy(() => inspectRecording(join(folder, name)));
    expect(error).toMatchObject({
      code: "no-such-file",
      message: expect.stringMatching(/\uFFFDbung\.wav: .* has bytes that are not UTF-8\.$/),
      hint: expect.stringMatching(/^Rename the file/),
    });
  });

  it("control characters in its name", () => {
    expect(refused(new Uint8Array(0), "bad\u001b[31m.wav").message).toMatch(/bad\[31m\.wav/);
  });
});

describe("checksumFile", () => {
  // FIPS 180-4 example: SHA-256 of "abc".
  it("is SHA-256", async () => {
    expect(await checksumFile(save("abc", ascii("abc")))).toBe(
      "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
    );
  });

  it("takes files of several blocks", async () => {
    const file = save("big", new Uint8Array(3_000_001).fill(7));
    const whole = createHash("sha256").update(readFileSync(file)).digest("hex");
    expect(await checksumFile(file)).toBe(whole);
  });

  it("ends where the file ended when it was opened", async () => {
    const file = save("growing", ascii("abc"));
    const sum = checksumFile(file);
    appendFileSync(file, "def");
    expect(await sum).toBe("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  });

  // SHA-256 of no bytes at all, as `sha256sum /dev/null` prints it.
  it("is had of an empty file too", async () => {
    expect(await checksumFile(save("empty", ascii("")))).toBe(
      "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    );
  });

  it("reports a file that is not there", async () => {
    await expect(checksumFile("/none/of/this.wav")).rejects.toMatchObject({ code: "no-such-file" });
  });
});

function bextChunk(description: string, originator: string, reference: string): Uint8Array {
  const field = (text: string, size: number) =>
    join8(ascii(text), new Uint8Array(size - text.length));
  const texts = join8(field(description, 256), field(originator, 32), field(reference, 32));
  return chunk("bext", join8(texts, new Uint8Array(602 - 320), ascii("A=PCM\r\n")));
}

/** A cue point as most writers fill it: both places, chunk, two zeros. */
function cuePoint(id: number, sample: number): Uint8Array {
  return join8(u32(id, sample), ascii("data"), u32(0, 0, sample));
}

function label(id: number, text: string): Uint8Array {
  return chunk("labl", join8(u32(id), ascii(`${text}\0`)));
}
