import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { inspectRecording } from "../../src/capture/containers/inspect-recording.js";
import { openSamples } from "../../src/capture/containers/open-samples.js";
import { formatDoubt } from "../../src/report/doubts/format-doubt.js";

const fileOf = (name: string) =>
  fileURLToPath(new URL(`../../fixtures/wav-scipy/test-${name}.wav`, import.meta.url));

// Expected values: what scipy.io.wavfile.read of scipy 1.17.1 gives for these files, integers
// divided by 2^31.
describe("WAV files from elsewhere", () => {
  it.each([
    [
      "44100Hz-le-1ch-4bytes-rf64",
      44_100,
      1,
      4410,
      [9538171, 211394107, 428130516].map((x) => x / 2 ** 31),
    ],
    ["44100Hz-2ch-32bit-float-le", 44_100, 2, 441, [0, 0.05011868, 0.10004044]],
    ["48000Hz-2ch-64bit-float-le-wavex", 48_000, 2, 480, [0, 0.04605122, 0.09194972]],
  ] as const)(
    "such as %s are read as scipy reads them",
    async (name, rate, channels, frames, first) => {
      const info = inspectRecording(fileOf(name));
      expect(info).toMatchObject({ sampleRate: rate, channels, frames, doubts: [] });
      const reader = await openSamples(info);
      const out = new Float64Array(3);
      reader.read(0, 3, 0, out);
      reader.close();
      first.forEach((value, k) => {
        expect(out[k]).toBeCloseTo(value, 7);
      });
    },
  );

  it("such as 44100Hz-le-1ch-4bytes-early-eof are read as far as they go, with a warning", () => {
    const info = inspectRecording(fileOf("44100Hz-le-1ch-4bytes-early-eof"));
    expect(info.frames).toBe(944 / 4);
    expect(info.doubts.map(formatDoubt).join()).toContain(
      "promises 17640 bytes of samples, but the file holds only 944",
    );
  });

  it.each([
    ["44100Hz-le-1ch-4bytes-early-eof-no-data", "holds no sample data"],
    ["44100Hz-le-1ch-4bytes-incomplete-chunk", "holds no sample data"],
    ["8000Hz-le-3ch-5S-24bit-inconsistent", "its header contradicts itself"],
    ["8000Hz-le-1ch-1byte-ulaw", "is compressed (µ-law"],
    ["8000Hz-le-3ch-5S-24bit", "has a sample rate of 8000 Hz"],
    ["8000Hz-be-3ch-5S-24bit", "is a big-endian WAV file"],
    ["8000Hz-le-3ch-5S-36bit", "has integer samples of 36 bits"],
  ])("such as %s are refused with the reason", (name, reason) => {
    expect(() => inspectRecording(fileOf(name))).toThrow(reason);
  });
});
