import { describe, expect, it } from "vitest";
import { findQuantiserStep } from "../../src/dsp/quantiser-step.js";
import { gaussian } from "../helpers/noise.js";

const rounded = (samples: Float64Array, step: number) =>
  samples.map((x) => step * Math.round(x / step));

const noise = (rms: number, seed: number) => {
  const next = gaussian(seed);
  return Float64Array.from({ length: 20_000 }, () => rms * next());
};

describe("findQuantiserStep", () => {
  it.each([8, 12, 16, 20, 24])("finds words of %i bits, whatever the file holds", (bits) => {
    // closed form: a quantiser of b bits over −1 … 1 has steps of 2^(1−b)
    const step = 2 ** (1 - bits);
    expect(findQuantiserStep(rounded(noise(0.7 * step, bits), step))).toBe(step);
  });

  it("finds them beneath hum of hundreds of steps", () => {
    const step = 2 ** -15;
    const hum = noise(0.5 * step, 1).map((x, n) => x + 300 * step * Math.sin(0.00654 * n));
    expect(findQuantiserStep(rounded(hum, step))).toBe(step);
  });

  it("finds a step that is no power of two, where numbers hold its multiples", () => {
    // words of 16 bits after a gain of one and a half
    const step = 1.5 * 2 ** -15;
    expect(findQuantiserStep(rounded(noise(2 * step, 2), step))).toBe(step);
  });

  it("finds none in samples that were never rounded, nor where one alone was not", () => {
    const step = 2 ** -15;
    expect(findQuantiserStep(noise(step, 3))).toBeUndefined();
    const one = rounded(noise(step, 4), step);
    one[777] += step / 3;
    expect(findQuantiserStep(one)).toBeUndefined();
  });

  it("finds the largest common measure of a few", () => {
    // gcd(6, 10, 15) = 1, gcd(6, 10) = 2
    const q = 2 ** -15;
    expect(findQuantiserStep(Float64Array.of(0, 6 * q, -10 * q, 15 * q))).toBe(q);
    expect(findQuantiserStep(Float64Array.of(6 * q, 0, -10 * q))).toBe(2 * q);
  });

  it("knows no words longer than 32 bits", () => {
    expect(findQuantiserStep(Float64Array.of(2 ** -31, 0.5))).toBe(2 ** -31);
    expect(findQuantiserStep(Float64Array.of(2 ** -32, 0.5))).toBeUndefined();
  });

  it("finds none in silence", () => {
    expect(findQuantiserStep(new Float64Array(100))).toBeUndefined();
    expect(findQuantiserStep(new Float64Array(0))).toBeUndefined();
  });
});
