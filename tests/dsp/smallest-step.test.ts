import { describe, expect, it } from "vitest";
import { findSmallestStep } from "../../src/dsp/smallest-step.js";
import { makeSamples } from "../helpers/samples.js";

const all = (samples: Float64Array) => findSmallestStep(samples, 0, samples.length);

describe("findSmallestStep", () => {
  it.each([8, 12, 16])("of a sine rounded to %i bits is the quantiser's step", (bits) => {
    // closed form: a quantiser of b bits over −1 … 1 has steps of 2^(1−b)
    const step = 2 ** (1 - bits);
    const sine = makeSamples(4000, (n) => step * Math.round((0.7 * Math.sin(0.0531 * n)) / step));
    expect(all(sine)).toBe(step);
  });

  it("sees it also where a waveform rises by about as much from sample to sample", () => {
    // rises of 10 and 11 steps: only their difference tells
    expect(all(Float64Array.of(0, 10, 21, 31, 42))).toBe(1);
    expect(all(Float64Array.of(0, -10, -21))).toBe(1);
  });

  it("does not take the first rise for a difference of two", () => {
    expect(all(Float64Array.of(0, 7))).toBe(7);
    // equal rises differ by nothing, which is no step
    expect(all(Float64Array.of(0, 7, 14, 21))).toBe(7);
  });

  it("is infinite where all are alike, and where there are fewer than two", () => {
    expect(all(new Float64Array(9).fill(3))).toBe(Infinity);
    expect(all(Float64Array.of(1))).toBe(Infinity);
    expect(all(new Float64Array(0))).toBe(Infinity);
  });

  it("looks from one index to the one before another, as far as there are samples", () => {
    const samples = Float64Array.of(0, 1, 101, 201, 206);
    expect(findSmallestStep(samples, 1, 4)).toBe(100);
    expect(findSmallestStep(samples, 2, 5)).toBe(5);
    expect(findSmallestStep(samples, -5, 2)).toBe(1);
    expect(findSmallestStep(samples, 2, 99)).toBe(5);
  });
});
