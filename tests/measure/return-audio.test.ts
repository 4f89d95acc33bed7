import { describe, expect, it, test } from "vitest";
import {
  computePlayedSpan,
  findSegment,
  isAtClipLevel,
  isClipped,
  type ReturnAudio,
  sliceSegment,
} from "../../src/measure/return-audio.js";
import type { SignalTable } from "../../src/signal/types.js";
import { makeSamples } from "../helpers/samples.js";

// Expected: sample n of a return is played at (n − origin)/clock seconds of the signal; by hand.

const table = {
  segments: [
    { kind: "marker", name: "begin", startS: 0.5, lengthS: 0.25 },
    { kind: "tone", name: "tone-1k", startS: 1, lengthS: 1, frequencyHz: 1000 },
    { kind: "tone", name: "tone-100", startS: 2.5, lengthS: 0.5, frequencyHz: 100 },
  ],
} as unknown as SignalTable;
const audio = (more: Partial<ReturnAudio> = {}): ReturnAudio => ({
  samples: makeSamples(400, (n) => n / 1000),
  origin: 10.5,
  clock: 100,
  sampleRate: 100,
  table,
  mainsHz: 50,
  ...more,
});

test("a segment is found by its kind, and by its name where that is asked for", () => {
  expect(findSegment(table, "tone")?.name).toBe("tone-1k");
  expect(findSegment(table, "tone", "tone-100")?.name).toBe("tone-100");
  expect(findSegment(table, "tone", "tone-10k")).toBeUndefined();
  expect(findSegment(table, "sweep")).toBeUndefined();
});

test("what is played lies from the first segment's beginning to the last one's end", () => {
  // 10.5 + 50 = 60.5, 10.5 + 300 = 310.5
  expect(computePlayedSpan(audio())).toEqual({ first: 60, end: 311 });
  expect(computePlayedSpan(audio({ origin: -80 }))).toEqual({ first: 0, end: 220 });
  expect(computePlayedSpan(audio({ origin: 150 }))).toEqual({ first: 200, end: 400 });
});

describe("sliceSegment", () => {
  it("takes the whole samples between two times of a segment, and says when the first is", () => {
    // 10.5 + 100 + 20 = 130.5 to 10.5 + 100 + 90 = 200.5
    const part = sliceSegment(audio(), 1, 0.2, 0.9);
    expect(part?.samples).toHaveLength(200 - 131);
    expect(part?.samples[0]).toBeCloseTo(0.131, 12);
    expect(part?.startS).toBeCloseTo((131 - 110.5) / 100, 12);
  });

  it("takes nothing that the capture does not hold whole", () => {
    expect(sliceSegment(audio({ origin: -120 }), 1, 0.2, 0.9)?.samples).toHaveLength(70);
    expect(sliceSegment(audio({ origin: -121 }), 1, 0.2, 0.9)).toBeUndefined();
    expect(sliceSegment(audio({ origin: 210 }), 1, 0.2, 0.9)?.samples).toHaveLength(70);
    expect(sliceSegment(audio({ origin: 211 }), 1, 0.2, 0.9)).toBeUndefined();
    expect(sliceSegment(audio(), 1, 0.2, 0.2)).toBeUndefined();
    expect(sliceSegment(audio(), 1, 0.9, 0.2)).toBeUndefined();
  });
});

describe("clipping", () => {
  const clipped = (samples: readonly number[], ceiling?: ReturnAudio["ceiling"]) =>
    isClipped(Float64Array.from(samples), ceiling === undefined ? {} : { ceiling });

  it("is two neighbours at full scale, of either sign, wherever they lie", () => {
    expect(clipped([0, 1, 0, 0, 0])).toBe(false);
    expect(clipped([0, 1, 0, 1, 0])).toBe(false);
    expect(clipped([1, 0, 1, 0, 1])).toBe(false);
    for (let at = 0; at < 5; at++) {
      for (const pair of [
        [1, 1],
        [-1, -1],
        [1, -1],
      ]) {
        const samples = [0, 0, 0, 0, 0, 0];
        [samples[at], samples[at + 1]] = pair;
        expect(clipped(samples)).toBe(true);
      }
    }
    expect(clipped([1])).toBe(false);
    expect(clipped([])).toBe(false);
    expect(clipped([0, 0.9998, 0.9998, 0])).toBe(false);
    expect(clipped([0, 0.9999, 0.9999, 0])).toBe(true);
  });

  it("lies where the converter's own ceiling is", () => {
    const ceiling = { high: 0.5, low: -0.4 };
    expect(clipped([0, 0.5, 0.5, 0], ceiling)).toBe(true);
    expect(clipped([0, 0.49, 0.49, 0], ceiling)).toBe(false);
    expect(clipped([0, -0.4, -0.4, 0], ceiling)).toBe(true);
    expect(clipped([0, -0.39, -0.39, 0], ceiling)).toBe(false);
    expect([0.5, 0.49, -0.4, -0.39].map((x) => isAtClipLevel(x, { ceiling }))).toEqual([
      true,
      false,
      true,
      false,
    ]);
    expect([0.9999, 0.9998, -0.9999].map((x) => isAtClipLevel(x, {}))).toEqual([true, false, true]);
  });
});
