import { describe, expect, it } from "vitest";
import { findBlockPeaks } from "../../src/dsp/block-peaks.js";

// Expected values: found by eye in samples short enough for it.
describe("findBlockPeaks", () => {
  const samples = Float64Array.of(9, 1, -3, 2, 0, 0, 0, 5, -5, 4, 7);

  it("finds the highest magnitude of each whole block and where it stands", () => {
    // blocks 1 −3 2, 0 0 0, 5 −5 4; the 9 lies before them, the 7 makes no whole block
    const { peaks, places } = findBlockPeaks(samples, 1, 3);
    expect([...peaks]).toEqual([3, 0, 5]);
    expect([...places]).toEqual([2, 0, 7]);
  });

  it("takes a block that ends with the samples", () => {
    const { peaks, places } = findBlockPeaks(samples, 1, 5);
    expect([...peaks]).toEqual([3, 7]);
    expect([...places]).toEqual([2, 10]);
  });

  it("can have blocks of one sample", () => {
    const { peaks, places } = findBlockPeaks(Float64Array.of(-1, 2, -3), 0, 1);
    expect([...peaks]).toEqual([1, 2, 3]);
    expect([...places]).toEqual([0, 1, 2]);
  });

  it("has none where no whole block fits", () => {
    for (const [first, size] of [
      [0, 12],
      [11, 1],
      [20, 3],
    ]) {
      expect(findBlockPeaks(samples, first, size).peaks).toHaveLength(0);
    }
  });
});
