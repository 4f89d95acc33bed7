import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { inspectRecording } from "../../../src/capture/containers/inspect-recording.js";
import { openSamples } from "../../../src/capture/containers/open-samples.js";
import {
  countInvalid,
  findInvalidSpans,
  listSampleDoubts,
} from "../../../src/capture/find/invalid-samples.js";
import { mergeScans, scanBlock, splitIntoBlocks } from "../../../src/capture/find/scan.js";
import { formatDoubt } from "../../../src/report/doubts/format-doubt.js";
import { chunk, fmt, scratchFolder, wav } from "../wav-bytes.js";

const save = scratchFolder();
const rate = 48_000;

/** A capture of silence, with samples that are not numbers at the frames given, by channel. */
function capture(frames: number, bad: readonly (readonly number[])[]) {
  const channels = bad.length;
  const floats = new Float32Array(frames * channels);
  bad.forEach((own, channel) => {
    for (const frame of own) floats[frame * channels + channel] = Number.NaN;
  });
  const header = fmt({ tag: 3, bits: 32, channels });
  const bytes = Buffer.concat([wav(header), chunk("data", new Uint8Array(0)).subarray(0, 8)]);
  bytes.writeUInt32LE(floats.byteLength, bytes.length - 4);
  return inspectRecording(save("bad.wav", Buffer.concat([bytes, Buffer.from(floats.buffer)])));
}

describe("samples that are not numbers", () => {
  // The truth is where they were put.
  it("are counted, each once, and lie within the stretches that are told", async () => {
    const frames = 200_000;
    const places = fc.uniqueArray(fc.nat(frames - 1), { minLength: 1, maxLength: 20 });
    await fc.assert(
      fc.asyncProperty(places, async (bad) => {
        const reader = await openSamples(capture(frames, [bad]));
        const found = findInvalidSpans(reader, 0, 0, frames);
        reader.close();
        expect(countInvalid(found)).toBe(bad.length);
        for (const frame of bad) {
          expect(found.some(({ from, until }) => from <= frame && frame < until)).toBe(true);
        }
        const ends = found.flatMap(({ from, until }) => [from, until]);
        expect(ends).toEqual([...ends].sort((a, b) => a - b));
      }),
      { numRuns: 30, seed: 3 },
    );
  });

  it("are counted once where stretches of a search overlap", async () => {
    const frames = 65_536 * 3;
    const border = 65_536;
    const bad = [[], [border - 1, border, border + 1000, 190_000]];
    const info = capture(frames, bad);
    const reader = await openSamples(info);
    const scans = [
      scanBlock(reader, [0, border], [0, frames]),
      scanBlock(reader, [border, frames], [0, frames]),
    ];
    reader.close();
    const { heard } = mergeScans(scans, rate);
    expect(heard.map((one) => countInvalid(one.bad))).toEqual([0, 4]);
    expect(splitIntoBlocks([0, frames], rate)).toHaveLength(1);
  });

  it("are reported with their channel, count and place", async () => {
    const info = capture(480_000, [[], [96_000, 96_001, 384_000]]);
    const reader = await openSamples(info);
    const stretches = [0, 1].map((channel) => findInvalidSpans(reader, channel, 0, info.frames));
    reader.close();
    // 96 000 and 384 000 frames at 48 kHz are 2 and 8 s; places are known to 1024 frames, 0.02 s.
    const [told] = listSampleDoubts(info, stretches, undefined).map(formatDoubt);
    expect(told).toMatch(
      /bad\.wav: 3 samples of channel 2 between (1\.9|2\.0) s and 8\.1 s, in 2 places, are NaN or infinite/,
    );
    expect(listSampleDoubts(info, [[], []], undefined)).toEqual([]);
  });
});
