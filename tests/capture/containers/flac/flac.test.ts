import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { computeCrc8, computeCrc16 } from "../../../../src/capture/containers/flac/crc.js";
import { inspectRecording } from "../../../../src/capture/containers/inspect-recording.js";
import { openSamples } from "../../../../src/capture/containers/open-samples.js";
import { formatDoubt } from "../../../../src/report/doubts/format-doubt.js";
import { makeSamples } from "../../../helpers/samples.js";
import { scratchFolder, thrownBy } from "../../wav-bytes.js";

const save = scratchFolder();
const fixture = (name: string) =>
  fileURLToPath(new URL(`../../../../fixtures/flac/${name}.flac`, import.meta.url));
const bytesOf = (name: string) => new Uint8Array(readFileSync(fixture(name)));

/** Frame i of channel c: fixtures/flac/README.md. */
const valueAt = (i: number, c: number) => (((7 * i + 13 * c) % 128) - 64) / 64;

async function readAll(file: string) {
  const info = inspectRecording(file);
  const reader = await openSamples(info);
  const channels: Float64Array[] = [];
  for (let c = 0; c < info.channels; c++) {
    const out = new Float64Array(info.frames);
    expect(reader.read(0, info.frames + 10, c, out)).toBe(info.frames);
    channels.push(out);
  }
  reader.close();
  return { info, channels, badSamples: reader.badSamples, isAltered: reader.isAltered };
}

const expected = (frames: number, c: number) => makeSamples(frames, (i) => valueAt(i, c));

describe("FLAC files", () => {
  it.each([
    ["flac-int16-stereo-48000", 20_000, 2, 16, 48_000],
    ["flac-int24-mono-96000", 20_000, 1, 24, 96_000],
    ["ffmpeg-int16-mono-44100", 9000, 1, 16, 44_100],
    ["ffmpeg-int24-8-channels-48000", 5000, 8, 24, 48_000],
    ["sox-int24-stereo-88200", 12_000, 2, 24, 88_200],
  ] as const)("such as %s are read to the last bit", async (name, frames, channels, bits, rate) => {
    const { info, channels: read, badSamples, isAltered } = await readAll(fixture(name));
    expect(info).toMatchObject({ frames, channels, bits, sampleRate: rate, doubts: [] });
    read.forEach((samples, c) => {
      expect(samples).toEqual(expected(frames, c));
    });
    expect({ badSamples, isAltered }).toEqual({ badSamples: 0, isAltered: false });
  });

  // RFC 9639, section 8.2: five bits of STREAMINFO hold the word length less one, 4 to 32; they begin
  // with the last bit of its byte 12, which is byte 20 of the file.
  it.each([
    [4, "16 or more are needed."],
    [12, "16 or more are needed."],
    [15, "16 or more are needed."],
    [17, "16, 20 and 24 bits are read."],
    [32, "16, 20 and 24 bits are read."],
  ])("of %d bits are refused, and say what is read", (bits, words) => {
    const bytes = bytesOf("flac-int24-mono-96000");
    bytes[20] = (bytes[20] & 0xfe) | ((bits - 1) >> 4);
    bytes[21] = (bytes[21] & 0x0f) | (((bits - 1) & 15) << 4);
    expect(thrownBy(() => inspectRecording(save("bits.flac", bytes)))).toMatchObject({
      code: "recording-unsupported",
      message: expect.stringContaining(`has integer samples of ${bits} bits; ${words}`),
    });
  });

  it("of 8 bits are refused as another program wrote them", () => {
    expect(thrownBy(() => inspectRecording(fixture("sox-int8-mono-192000")))).toMatchObject({
      code: "recording-unsupported",
      message: expect.stringContaining("integer samples of 8 bits; 16 or more are needed."),
    });
  });

  // ID3v2.4.0, section 3: version, flags (bit 4: a foot of 10 bytes), then the length in 7 bits a byte,
  // here 1·128 + 72 = 200, without head and foot.
  it.each([
    ["", 0, 210],
    [" with a foot", 0x10, 220],
  ])("after an ID3 tag%s are called what they are", (_, flags, length) => {
    const tag = new Uint8Array(length);
    tag.set([0x49, 0x44, 0x33, 4, 0, flags, 0, 0, 1, 72]);
    const whole = Uint8Array.from([...tag, ...bytesOf("ffmpeg-int16-mono-44100")]);
    expect(thrownBy(() => inspectRecording(save("tagged.flac", whole)))).toMatchObject({
      code: "not-a-recording",
      message: expect.stringContaining("is FLAC after an ID3 tag"),
      hint: expect.stringContaining("without ID3 tags"),
    });
  });

  it("are read from any frame on, forwards and backwards", async () => {
    const reader = await openSamples(inspectRecording(fixture("flac-int24-mono-96000")));
    for (const first of [19_999, 0, 12_345, 575, 576, 577, 19_000, 6000, 1]) {
      const out = new Float64Array(700);
      const got = reader.read(first, 700, 0, out);
      expect(got).toBe(Math.min(700, 20_000 - first));
      for (let i = 0; i < got; i++) expect(out[i]).toBe(valueAt(first + i, 0));
    }
    reader.close();
  });

  it("say what they are by the chunks of the WAV file that an encoder kept", () => {
    expect(inspectRecording(fixture("flac-kept-chunks-mono-48000"))).toMatchObject({
      bext: { description: "evening one", originator: "recorder", timeReference: 123_456_789 },
      cues: [
        { position: 10, label: "first" },
        { position: 40, label: "second mark" },
      ],
    });
  });

  it("say by their comments when they began", () => {
    const { bext } = inspectRecording(fixture("ffmpeg-comments-mono-48000"));
    expect(bext).toEqual({
      description: "evening one",
      originator: "recorder",
      originatorReference: "ref-1",
      timeReference: 123_456_789,
    });
  });

  it("of unknown length are read as far as they go, with a doubt", async () => {
    const { info, channels } = await readAll(fixture("ffmpeg-piped-int16-mono-48000"));
    expect(info.frames).toBe(12_000);
    expect(info.doubts.map(formatDoubt)).toEqual([
      expect.stringContaining("its header gives no length"),
    ]);
    expect(channels[0]).toEqual(expected(12_000, 0));
  });
});

/** Where the frames of a file begin: after its metadata, each after the one before. */
function frameStarts(bytes: Uint8Array): number[] {
  let at = 4;
  for (let last = false; !last; ) {
    last = (bytes[at] & 0x80) !== 0;
    at += 4 + 65_536 * bytes[at + 1] + 256 * bytes[at + 2] + bytes[at + 3];
  }
  const starts = [at];
  for (let i = at + 2; i < bytes.length - 6; i++) {
    if (bytes[i] !== 0xff || (bytes[i + 1] & 0xfe) !== 0xf8) continue;
    if (computeCrc16(bytes, starts[starts.length - 1], i) === 0) starts.push(i);
  }
  return starts;
}

describe("a damaged FLAC file", () => {
  const name = "flac-int24-mono-96000";
  const block = 576;

  it("has silence where a frame's checksum fails, and says how much", async () => {
    const bytes = bytesOf(name);
    const starts = frameStarts(bytes);
    bytes[starts[5] + 40] ^= 4;
    const { info, channels, badSamples } = await readAll(save("bit.flac", bytes));
    expect(info.doubts.map(formatDoubt)).toEqual([]);
    expect(badSamples).toBe(block);
    const wanted = expected(20_000, 0).fill(0, 5 * block, 6 * block);
    expect(channels[0]).toEqual(wanted);
  });

  it("keeps its place where frames are missing", async () => {
    const bytes = bytesOf(name);
    const starts = frameStarts(bytes);
    const cut = Uint8Array.of(...bytes.subarray(0, starts[7]), ...bytes.subarray(starts[9]));
    const { channels, badSamples } = await readAll(save("gap.flac", cut));
    expect(badSamples).toBe(2 * block);
    expect(channels[0]).toEqual(expected(20_000, 0).fill(0, 7 * block, 9 * block));
  });

  it("keeps its place where frames are there twice", async () => {
    const bytes = bytesOf(name);
    const starts = frameStarts(bytes);
    const twice = Uint8Array.of(...bytes.subarray(0, starts[9]), ...bytes.subarray(starts[6]));
    const { channels, badSamples } = await readAll(save("twice.flac", twice));
    expect(badSamples).toBe(0);
    expect(channels[0]).toEqual(expected(20_000, 0));
  });

  it("that was cut short is read up to its last whole frame, with a doubt", async () => {
    const bytes = bytesOf(name);
    const starts = frameStarts(bytes);
    const { info, channels } = await readAll(save("cut.flac", bytes.slice(0, starts[10] + 100)));
    expect(info.frames).toBe(10 * block);
    expect(info.doubts.map(formatDoubt)).toEqual([
      expect.stringMatching(
        /promises 20000 sample frames, but the file holds only 5760: .*cut short/,
      ),
    ]);
    expect(channels[0]).toEqual(expected(10 * block, 0));
  });

  it("is known by the checksum over all its samples where every frame is sound", async () => {
    const bytes = bytesOf(name);
    // The last byte of STREAMINFO is the last of the MD5.
    bytes[4 + 4 + 33] ^= 1;
    const { badSamples, isAltered } = await readAll(save("md5.flac", bytes));
    expect({ badSamples, isAltered }).toEqual({ badSamples: 0, isAltered: true });
  });

  it("may end in a tag that is none of its own", async () => {
    const tag = new Uint8Array(128).fill(32);
    tag.set(new TextEncoder().encode("TAG"));
    const { info } = await readAll(save("tag.flac", Uint8Array.of(...bytesOf(name), ...tag)));
    expect(info).toMatchObject({ frames: 20_000, doubts: [] });
  });

  it.each([
    ["without samples", 0, /holds no frame of samples that is whole/],
    ["cut off in its metadata", -1, /cannot be followed/],
  ])("%s is refused with the reason", (_, more, reason) => {
    const bytes = bytesOf(name);
    const file = save("head.flac", bytes.slice(0, frameStarts(bytes)[0] + more));
    expect(thrownBy(() => inspectRecording(file))).toMatchObject({
      code: "recording-damaged",
      message: expect.stringMatching(reason),
    });
  });
});

describe("frames that leave rate and number to others", () => {
  /** The same stream with another header on each frame, the checksums made again. */
  function rewritten(header: (old: Uint8Array, k: number) => number[]): Uint8Array {
    const bytes = bytesOf("flac-int24-mono-96000");
    const starts = frameStarts(bytes);
    const frames = starts.flatMap((start, k) => {
      const frame = bytes.subarray(start, starts[k + 1] ?? bytes.length);
      // Sync, sizes, a number of one byte below 128, the block size of the last frame, checksum.
      const extra = frame[2] >> 4 === 7 ? 2 : frame[2] >> 4 === 6 ? 1 : 0;
      const head = header(frame.subarray(0, 5), k);
      const own = [...head, ...frame.subarray(5, 5 + extra)];
      const whole = [...own, computeCrc8(Uint8Array.from(own), 0, own.length)];
      whole.push(...frame.subarray(6 + extra, frame.length - 2));
      const crc = computeCrc16(Uint8Array.from(whole), 0, whole.length);
      return [...whole, crc >> 8, crc & 255];
    });
    return Uint8Array.of(...bytes.subarray(0, starts[0]), ...frames);
  }

  it("are decoded with what the head of the file says", async () => {
    const bytes = rewritten(([a, b, sizes, channels, number]) => [
      a,
      b,
      sizes & 0xf0,
      channels & 0xf1,
      number,
    ]);
    const { channels, badSamples } = await readAll(save("bare.flac", bytes));
    expect(badSamples).toBe(0);
    expect(channels[0]).toEqual(expected(20_000, 0));
  });

  it("are placed by the number of their first sample in streams of frames of any length", async () => {
    const utf8 = (n: number) => [...new TextEncoder().encode(String.fromCodePoint(n))];
    const bytes = rewritten(([a, b, sizes, channels], k) => [
      a,
      b | 1,
      sizes,
      channels,
      ...utf8(576 * k),
    ]);
    // The shortest and the longest frame differ, as they may in such a stream.
    bytes.set([0, 16], 8);
    const { channels, badSamples } = await readAll(save("variable.flac", bytes));
    expect(badSamples).toBe(0);
    expect(channels[0]).toEqual(expected(20_000, 0));
  });
});
