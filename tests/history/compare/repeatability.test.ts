import { describe, expect, it } from "vitest";
import type { PairedMeasurement } from "../../../src/history/compare/path-pairs.js";
import { computeRepeatability } from "../../../src/history/compare/repeatability.js";
import type { Reading } from "../../../src/measure/types.js";

// Expected: the pooled variance Σ(x − x̄)²/Σ(n − 1) of repeated takes (JCGM 100, H.3.6: pooled
// experimental variance), less the variance that the measurements' own uncertainty explains.

const gain = (value: number, more: Partial<Reading> = {}): Reading => ({
  value,
  unit: "dB",
  uncertainty: 0,
  ...more,
});

/** A path with a take that counts and others. */
function takes(first: Reading, ...others: readonly Reading[]): PairedMeasurement {
  return {
    readings: { gain: first },
    absent: {},
    curves: {},
    otherTakes: others.map((reading, k) => ({
      file: "a.wav",
      channel: 0,
      startSample: 0,
      driftPpm: 0,
      number: k + 1,
      status: "measured" as const,
      readings: { gain: reading },
    })),
  };
}

const pair = (earlier: PairedMeasurement, later: PairedMeasurement) => ({
  path: "1/mic",
  family: "mic",
  earlier,
  later,
});
const once = takes(gain(0));
/** Sample variance 4 of three takes: 1, 3, 5. */
const three = takes(gain(5), gain(1), gain(3));
/** Sample variance 2 of two: 0, 2. */
const two = takes(gain(0), gain(2));

describe("computeRepeatability", () => {
  it("is the variance of both rounds together", () => {
    expect(computeRepeatability([pair(three, two)], "gain")).toBeCloseTo(Math.sqrt(4 + 2), 12);
  });

  it("borrows the other round's where a round has no repeats", () => {
    expect(computeRepeatability([pair(three, once)], "gain")).toBeCloseTo(Math.sqrt(8), 12);
    expect(computeRepeatability([pair(once, two)], "gain")).toBeCloseTo(Math.sqrt(4), 12);
  });

  it("is nothing without repeats, or of a reading that nothing gave", () => {
    expect(computeRepeatability([pair(once, once)], "gain")).toBe(0);
    expect(computeRepeatability([pair(three, two)], "thd")).toBe(0);
  });

  it("pools the paths of a family by their degrees of freedom", () => {
    // Then: (8 + 2)/(2 + 1); now: nothing repeated, so the same again.
    const pooled = computeRepeatability([pair(three, once), pair(two, once)], "gain");
    expect(pooled).toBeCloseTo(Math.sqrt((2 * 10) / 3), 12);
  });

  it("takes off what the measurements' own uncertainty explains, without the calibration's", () => {
    // Standard uncertainties: 1 of take three; of take two √(5² − 4²)/2 = 1.5, the calibration off.
    const own = takes(gain(5, { uncertainty: 2 }), gain(1), gain(3));
    expect(computeRepeatability([pair(own, own)], "gain")).toBeCloseTo(Math.sqrt(2 * (4 - 1)), 12);
    const shared = takes(gain(0, { uncertainty: 5, common: 4 }), gain(4));
    expect(computeRepeatability([pair(shared, shared)], "gain")).toBeCloseTo(
      Math.sqrt(2 * (8 - 1.5 ** 2)),
      12,
    );
    // by their degrees of freedom: (2·1² + 1·1.5²)/3 of (8 + 8)/3
    const both = [pair(own, own), pair(shared, shared)];
    expect(computeRepeatability(both, "gain")).toBeCloseTo(
      Math.sqrt((2 * (16 - 2 - 1.5 ** 2)) / 3),
      12,
    );
  });

  it("is nothing where the measurements explain all of it", () => {
    const noisy = takes(gain(5, { uncertainty: 9 }), gain(1), gain(3));
    expect(computeRepeatability([pair(noisy, noisy)], "gain")).toBe(0);
  });

  it("leaves out bounds and takes in another unit", () => {
    const mixed = takes(gain(0), gain(2), gain(9, { bound: "upper" }), gain(9, { unit: "dBu" }));
    expect(computeRepeatability([pair(mixed, mixed)], "gain")).toBeCloseTo(2, 12);
    const bounded = takes(gain(9, { bound: "upper" }), gain(0), gain(2));
    expect(computeRepeatability([pair(bounded, bounded)], "gain")).toBeCloseTo(2, 12);
  });

  it("is that of the paths and rounds that were repeated, where others were not", () => {
    const { otherTakes: _, ...bare } = once;
    expect(computeRepeatability([pair(three, bare)], "gain")).toBeCloseTo(Math.sqrt(8), 12);
    expect(computeRepeatability([pair(bare, three)], "gain")).toBeCloseTo(Math.sqrt(8), 12);
    const both = [pair(three, two), { ...pair(bare, bare), path: "2/mic" }];
    expect(computeRepeatability(both, "gain")).toBeCloseTo(Math.sqrt(4 + 2), 12);
    expect(computeRepeatability([pair(bare, bare)], "gain")).toBe(0);
  });

  it("counts no take that lacks the reading, has it in another unit, or as a bound", () => {
    const { otherTakes = [], ...rest } = takes(
      gain(5),
      gain(1),
      gain(3),
      gain(99, { unit: "dBu" }),
      gain(99, { bound: "upper" }),
    );
    const lacking = { ...otherTakes[0], readings: {} };
    const one = { ...rest, otherTakes: [...otherTakes, lacking] };
    expect(computeRepeatability([pair(one, two)], "gain")).toBeCloseTo(Math.sqrt(4 + 2), 12);
  });

  it("of a path that was at its bound each time takes no freedom from its siblings", () => {
    const hidden = takes(gain(9, { bound: "upper" }));
    // A variance of 4 from three takes, whatever stands beside it; of both rounds alike.
    const pairs = [pair(three, three), { ...pair(hidden, hidden), path: "2/mic" }];
    expect(computeRepeatability(pairs, "gain")).toBeCloseTo(Math.sqrt(8), 12);
    const only = takes(gain(9, { bound: "upper" }), gain(1), gain(3), gain(5));
    expect(computeRepeatability([pair(only, only)], "gain")).toBeCloseTo(Math.sqrt(8), 12);
  });
});
