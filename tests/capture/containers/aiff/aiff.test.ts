import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { inspectRecording } from "../../../../src/capture/containers/inspect-recording.js";
import { openSamples } from "../../../../src/capture/containers/open-samples.js";
import { formatDoubt } from "../../../../src/report/doubts/format-doubt.js";
import { ascii, join8, scratchFolder, thrownBy } from "../../wav-bytes.js";

const save = scratchFolder();
const fixtures = fileURLToPath(new URL("../../../../fixtures/aiff/", import.meta.url));

async function readAll(file: string) {
  const info = inspectRecording(file);
  const reader = await openSamples(info);
  const channels: number[][] = [];
  for (let c = 0; c < info.channels; c++) {
    const out = new Float64Array(info.frames);
    expect(reader.read(0, info.frames + 10, c, out)).toBe(info.frames);
    channels.push([...out]);
  }
  reader.close();
  return { info, channels };
}

describe("AIFF files of other programs", () => {
  it.each([
    ["sox-int16-mono-44100.aiff", 128, 1, 16, 44_100],
    ["sox-int24-mono-48000-odd.aiff", 33, 1, 24, 48_000],
    ["sox-int24-8-channels-96000.aif", 64, 8, 24, 96_000],
    ["sox-int32-stereo-88200.aiff", 64, 2, 32, 88_200],
    ["sox-int16-stereo-48000.aifc", 128, 2, 16, 48_000],
    ["ffmpeg-int24-stereo-96000.aiff", 64, 2, 24, 96_000],
    ["ffmpeg-sowt16-stereo-48000.aiff", 128, 2, 16, 48_000],
    ["ffmpeg-float32-mono-192000.aifc", 100, 1, 32, 192_000],
    ["ffmpeg-float64-stereo-176400.aifc", 100, 2, 64, 176_400],
    ["python-int24-mono-48000-marks.aifc", 100, 1, 24, 48_000],
  ] as const)("such as %s are read to the last bit", async (name, frames, count, bits, rate) => {
    const { info, channels } = await readAll(join(fixtures, name));
    expect(info).toMatchObject({ frames, channels: count, bits, sampleRate: rate, doubts: [] });
    // fixtures/aiff/README.md
    channels.forEach((samples, c) => {
      expect(samples).toEqual(samples.map((_, i) => (((7 * i + 13 * c) % 128) - 64) / 64));
    });
  });

  it("are all tried", () => {
    expect(readdirSync(fixtures)).toHaveLength(13);
  });

  it("show their markers", () => {
    const { cues } = inspectRecording(join(fixtures, "python-int24-mono-48000-marks.aifc"));
    expect(cues).toEqual([
      { position: 10, label: "first" },
      { position: 40, label: "second mark" },
    ]);
  });

  it("are refused where they are compressed", () => {
    const file = join(fixtures, "ffmpeg-ulaw-stereo-44100.aifc");
    expect(thrownBy(() => inspectRecording(file))).toMatchObject({
      code: "recording-unsupported",
      message: expect.stringContaining("is compressed (µ-law)"),
    });
  });
});

/** Bytes by hand, as in Apple's AIFF 1.3 and its draft of AIFF-C. */
const be16 = (n: number): Uint8Array => Uint8Array.of(n >> 8, n);
const be32 = (n: number): Uint8Array => Uint8Array.of(n >>> 24, n >>> 16, n >>> 8, n);
const chunk = (id: string, body: Uint8Array, size = body.length) =>
  join8(ascii(id), be32(size), body, new Uint8Array(body.length % 2));
// 48 000 = 0xBB80 · 2^0: exponent 15 over a bias of 16 383 is 0x400E.
const rate48 = Uint8Array.of(0x40, 0x0e, 0xbb, 0x80, 0, 0, 0, 0, 0, 0);

interface Header {
  readonly frames: number;
  readonly bits?: number;
  readonly channels?: number;
  readonly type?: string;
  readonly size?: number;
  readonly skip?: number;
}

function aiff(
  { frames, bits = 16, channels = 1, type, size, skip = 0 }: Header,
  samples: Uint8Array,
  ...more: Uint8Array[]
): Uint8Array {
  const common = [be16(channels), be32(frames), be16(bits), rate48];
  if (type !== undefined) common.push(ascii(type), Uint8Array.of(0, 0));
  const data = join8(be32(skip), be32(0), new Uint8Array(skip), samples);
  const body = join8(
    ascii(type === undefined ? "AIFF" : "AIFC"),
    chunk("COMM", join8(...common)),
    chunk("SSND", data, size),
    ...more,
  );
  return join8(ascii("FORM"), be32(body.length), body);
}

const four = Uint8Array.of(0, 1, 0, 2, 0, 3, 0xff, 0xfc);
const steps16 = [1, 2, 3, -4].map((n) => n / 2 ** 15);

describe("AIFF-C with integers", () => {
  const bytes: Uint8Array = Uint8Array.of(0x7f, 0xff, 0xff, 0x80, 0, 0, 0, 0, 1, 0, 0, 0);
  it.each([
    ["in24", 24, bytes, [1 - 2 ** -23, -1, 2 ** -23, 0]],
    ["42ni", 24, bytes, [-0x81 / 2 ** 23, 0x80 / 2 ** 23, 2 ** -7, 0]],
    ["in32", 32, bytes, [(2 ** 31 - 128) / 2 ** 31, 0, 2 ** -7]],
    [
      "23ni",
      32,
      Uint8Array.of(0x80, 0xff, 0xff, 0x7f, 0, 0, 0, 0, 0, 0, 0, 1),
      [1 - 2 ** -24, 0, 2 ** -7],
    ],
    ["sowt", 24, bytes, [-0x81 / 2 ** 23, 0x80 / 2 ** 23, 2 ** -7, 0]],
    ["twos", 20, bytes, [1 - 2 ** -23, -1, 2 ** -23, 0]],
  ])("of type %s is read as its bytes lie", async (type, bits, samples, wanted) => {
    const { channels, info } = await readAll(
      save("a.aifc", aiff({ frames: wanted.length, bits, type }, samples)),
    );
    expect(info.doubts.map(formatDoubt)).toEqual([]);
    expect(channels[0]).toEqual(wanted);
  });
});

describe("AIFF of short words", () => {
  // AIFF 1.3: a sample of 12 bits fills a word of 16 from the left, the rest is 0.
  it.each([
    [8, aiff({ frames: 8, bits: 8 }, four)],
    [8, aiff({ frames: 8, bits: 8, type: "raw " }, four)],
    [12, aiff({ frames: 4, bits: 12 }, four)],
    [15, aiff({ frames: 4, bits: 15 }, four)],
  ])("of %d bits is refused, and says what is needed", (bits, bytes) => {
    expect(thrownBy(() => inspectRecording(save("short.aiff", bytes)))).toMatchObject({
      code: "recording-unsupported",
      message: expect.stringContaining(
        `has integer samples of ${bits} bits; 16 or more are needed.`,
      ),
    });
  });

  it("is refused as another program wrote it", () => {
    const file = join(fixtures, "sox-int8-mono-48000-odd.aiff");
    expect(thrownBy(() => inspectRecording(file))).toMatchObject({
      code: "recording-unsupported",
      message: expect.stringContaining("integer samples of 8 bits; 16 or more"),
    });
  });
});

describe("an AIFF file whose header does not fit", () => {
  it.each([
    ["is cut short", { frames: 9, size: 8 + 18 }, [/promises 26 bytes of samples.*cut short/]],
    ["promises more frames", { frames: 9 }, [/promises 9 sample frames.*holds only 4.*cut short/]],
    ["was not closed", { frames: 0, size: 0 }, [/not closed properly/]],
    ["was not closed but for its size", { frames: 0 }, [/not closed properly/]],
    ["promises fewer frames", { frames: 3 }, [/holds 4 sample frames, more than the 3/]],
  ] as const)("because it %s is read with a doubt", async (_, header, doubts) => {
    const { info, channels } = await readAll(save("b.aiff", aiff(header, four)));
    expect(info.doubts.map(formatDoubt)).toEqual(
      doubts.map((doubt) => expect.stringMatching(doubt)),
    );
    expect(channels[0]).toEqual(steps16.slice(0, info.frames));
    expect(info.frames).toBe(header.frames === 3 ? 3 : 4);
  });

  it("begins its samples where it says", async () => {
    const { channels } = await readAll(save("c.aiff", aiff({ frames: 4, skip: 6 }, four)));
    expect(channels[0]).toEqual(steps16);
  });

  it.each([
    ["no samples", aiff({ frames: 0 }, new Uint8Array(0)), /holds no sample data/],
    ["no channels", aiff({ frames: 4, channels: 0 }, four), /0 channels/],
    ["too long a word", aiff({ frames: 4, bits: 33 }, four), /integer samples of 33 bits/],
    ["an offset beyond its end", aiff({ frames: 4, skip: 0 }, four).fill(9, 46, 50), /no samples/],
    ["no format", join8(ascii("FORM\0\0\0\x1cAIFF"), chunk("SSND", four)), /holds no/],
  ])("with %s is refused", (_, bytes, reason) => {
    const file = save("d.aiff", bytes);
    expect(thrownBy(() => inspectRecording(file))).toMatchObject({
      code: "recording-damaged",
      message: expect.stringMatching(reason),
    });
  });

  it("with a type that nobody knows is refused by its name", () => {
    const file = save("e.aifc", aiff({ frames: 4, type: "zzzz" }, four));
    expect(thrownBy(() => inspectRecording(file))).toMatchObject({
      code: "recording-unsupported",
      message: expect.stringContaining('unknown kind ("zzzz")'),
    });
  });
});

describe("what is none of them", () => {
  it("is named by its first bytes, with all that are read", () => {
    const file = save("f.aiff", ascii("FORM\0\0\0\x0c8SVXVHDR"));
    expect(thrownBy(() => inspectRecording(file))).toMatchObject({
      code: "not-a-recording",
      message: expect.stringContaining(
        "begins with FORM and 8SVX, which is not a WAV, FLAC or AIFF file",
      ),
    });
    expect(readFileSync(file).length).toBeGreaterThan(12);
  });
});
