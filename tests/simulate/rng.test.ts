import { describe, expect, test } from "vitest";
import {
  addGaussian,
  createRng,
  gaussian,
  nextUint32,
  type Rng,
  uniform,
} from "../../src/simulate/rng.js";
import { makeSamples } from "../helpers/samples.js";

describe("xoshiro128**", () => {
  test("gives the known sequence for the state 1, 2, 3, 4", () => {
    // Recomputed with the authors' C code (Blackman and Vigna, written down from memory).
    const expected = [
      11520, 0, 5927040, 70819200, 2031721883, 1637235492, 1287239034, 3734860849, 3729100597,
      4258142804,
    ];
    const rng: Rng = Uint32Array.of(1, 2, 3, 4);
    expect(expected.map(() => nextUint32(rng))).toEqual(expected);
  });

  test("is even on (0, 1): mean 1/2, variance 1/12", () => {
    const rng = createRng("even");
    const draws = makeSamples(200_000, () => uniform(rng));
    const mean = draws.reduce((a, b) => a + b) / draws.length;
    const variance = draws.reduce((a, b) => a + (b - mean) ** 2, 0) / draws.length;
    // Five standard errors: √(1/12/N) and √(1/180/N).
    expect(Math.abs(mean - 1 / 2)).toBeLessThan(5 * Math.sqrt(1 / 12 / draws.length));
    expect(Math.abs(variance - 1 / 12)).toBeLessThan(5 * Math.sqrt(1 / 180 / draws.length));
  });
});

describe("normal deviates", () => {
  const draws = new Float64Array(2_000_000);
  addGaussian(createRng("normal"), 1, draws);

  test("have the moments of the normal distribution: 0, 1, 0, 3", () => {
    const moment = (k: number) => draws.reduce((sum, x) => sum + x ** k, 0) / draws.length;
    // Five standard errors; variances of the sample moments are 1, 2, 15 and 96 over N.
    const error = (variance: number) => 5 * Math.sqrt(variance / draws.length);
    expect(Math.abs(moment(1))).toBeLessThan(error(1));
    expect(Math.abs(moment(2) - 1)).toBeLessThan(error(2));
    expect(Math.abs(moment(3))).toBeLessThan(error(15));
    expect(Math.abs(moment(4) - 3)).toBeLessThan(error(96));
  });

  // Two-sided tail of the standard normal, erfc(z/√2), from scipy.special.erfc.
  test.each([
    [0.1, 0.920344325445942],
    [1, 0.317310507862914],
    [2, 0.0455002638963584],
    [3, 0.00269979606326019],
    [3.442619855899, 0.000576108512391641],
    [4, 6.33424836662398e-5],
  ])("lie beyond ±%d as often as the normal tail says", (limit, share) => {
    const beyond = draws.reduce((sum, x) => sum + (Math.abs(x) > limit ? 1 : 0), 0);
    const spread = Math.sqrt(draws.length * share * (1 - share));
    expect(Math.abs(beyond - draws.length * share)).toBeLessThan(5 * spread);
  });

  test("are white: neighbours do not correlate", () => {
    let product = 0;
    for (let i = 1; i < draws.length; i++) product += draws[i] * draws[i - 1];
    expect(Math.abs(product / draws.length)).toBeLessThan(5 / Math.sqrt(draws.length));
  });

  test("are the same one by one, by the block and by any size of block", () => {
    const whole = new Float64Array(5000);
    addGaussian(createRng("same"), 2, whole);
    const parts = new Float64Array(5000);
    const rng = createRng("same");
    addGaussian(rng, 2, parts.subarray(0, 1234));
    addGaussian(rng, 2, parts.subarray(1234));
    const single = createRng("same");
    const ones = makeSamples(5000, () => 2 * gaussian(single));
    expect(parts).toEqual(whole);
    for (let i = 0; i < 5000; i++) expect(ones[i]).toBeCloseTo(whole[i], 12);
  });
});

test("generators of different names differ from the first draw on", () => {
  const first = ["1/1/mic", "1/2/mic", "2/1/mic", "1/1/line"].map((n) => nextUint32(createRng(n)));
  expect(new Set(first).size).toBe(4);
});
