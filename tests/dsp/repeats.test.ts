import { describe, expect, it } from "vitest";
import { findRepeats } from "../../src/dsp/repeats.js";
import { gaussian } from "../helpers/noise.js";
import { makeSamples } from "../helpers/samples.js";

// Expected values: where the copies were put.

/** Noise in steps of `step`, over whatever else. */
function noisy(length: number, rms: number, step: number, at = (_n: number) => 0): Float64Array {
  const next = gaussian(31);
  return makeSamples(length, (n) => Math.round((at(n) + rms * next()) / step) * step);
}

const step24 = 2 ** -23;
const tone = (n: number) => 0.1 * Math.sin((2 * Math.PI * n) / 48);
const slow = (n: number) => 0.1 * Math.sin((2 * Math.PI * n) / 4800);

describe("blocks that come twice", () => {
  it.each([
    ["noise", () => 0],
    ["a tone", tone],
    ["a slow tone", slow],
  ] as const)("are found in %s, whatever their length and distance", (_, at) => {
    for (const [begin, lag, length] of [
      [20_000, 64, 64],
      [31_234, 480, 480],
      [17, 6000, 200],
      [40_001, 4096, 4096],
      [25_000, 1000, 64],
      [45_000, 512, 1536],
    ]) {
      const samples = noisy(60_000, 1e-5, step24, at);
      const target = Math.max(begin, lag + 100);
      for (let n = target; n < target + length; n++) samples[n] = samples[n - lag];
      const [one, ...more] = findRepeats(samples, 6720);
      expect(more).toEqual([]);
      // A neighbour may be the same by chance.
      expect(Math.abs(one.at - target)).toBeLessThanOrEqual(1);
      expect(one.lag).toBe(lag);
      expect(Math.abs(one.length - length)).toBeLessThanOrEqual(2);
    }
  });

  /**
   * A copy of 64 samples, 600 apart, in which the value changes so many times, and the samples beside
   * it that are the same as those 600 before: places counted from the block on, the next is 0.
   */
  function copyWith(
    changes: number,
    same: (k: number) => boolean,
    isBehind: boolean,
    apart = step24,
  ) {
    const lag = 600;
    const [begin, end] = [5000, 5064];
    const samples = noisy(8000, 1e-4, step24);
    for (let n = begin; n < end; n++) {
      const isChange = n > begin && n - begin <= changes;
      samples[n] =
        n === begin || isChange ? Math.round((n * 7919) % 1013) * step24 : samples[n - 1];
    }
    for (let k = 0; k < 64; k++) {
      for (const [n, isMade] of [
        [end + k, isBehind],
        [begin - 1 - k, !isBehind],
      ] as const) {
        samples[n] = samples[n - lag] + (isMade && same(k) ? 0 : isMade ? apart : 3 * step24);
      }
    }
    for (let n = begin; n < end; n++) samples[n - lag] = samples[n];
    return samples;
  }

  it.each([
    ["behind", true],
    ["before", false],
  ] as const)("count where chance, by the samples %s, makes one in 2¹⁰⁰ of them", (_, isBehind) => {
    // By the definition: a share s of those beside are the same (Laplace's rule: (same + 1)/(of + 1),
    // of the next 16 or of all 64), so that c changes come by chance with sᶜ. 50·log₂(17/4) = 104.4
    // bits and 50·log₂(17/5) = 88.3; 50·log₂(65/16) = 101.1 and 50·log₂(65/17) = 96.7.
    const counts = (changes: number, same: (k: number) => boolean) =>
      findRepeats(copyWith(changes, same, isBehind), 6720).length;
    expect(counts(50, (k) => k > 0 && k < 4)).toBe(1);
    expect(counts(50, (k) => k > 0 && k < 5)).toBe(0);
    expect(counts(50, (k) => k > 12 && k < 22)).toBe(1);
    expect(counts(50, (k) => k > 48 && k < 64)).toBe(1);
    expect(counts(50, (k) => k > 47 && k < 64)).toBe(0);
    // 25·log₂(17) = 102.2 bits, 24·log₂(17) = 98.1
    expect(counts(25, () => false)).toBe(1);
    expect(counts(24, () => false)).toBe(0);
  });

  it("are told from rounding by half a step of 24 bits beside them", () => {
    const counts = (apart: number) =>
      findRepeats(
        copyWith(50, () => false, true, apart),
        6720,
      ).length;
    expect(counts(2 ** -24)).toBe(1);
    expect(counts(0.99 * 2 ** -24)).toBe(0);
  });

  it("are none where they are too far apart, or too short", () => {
    const samples = noisy(60_000, 1e-5, step24);
    samples.copyWithin(30_000, 20_000, 20_500);
    samples.copyWithin(40_000, 39_000, 39_030);
    expect(findRepeats(samples, 6720)).toEqual([]);
  });

  it.each([
    ["noise alone", 1e-5, step24, () => 0],
    ["noise of a few steps", 1e-5, 2 ** -15, () => 0],
    ["noise of less than a step", 3e-6, 2 ** -15, () => 0],
    ["a tone without noise", 0, step24, tone],
    ["a tone of long period without noise", 0, step24, (n: number) => tone((n * 48) / 44.1)],
    ["a coarse slow tone", 0, 2 ** -15, slow],
    ["a coarse slow tone that drifts", 0, 2 ** -12, (n: number) => slow(n * (1 + n * 1e-7))],
    ["nothing", 0, step24, () => 0],
  ] as const)("are none in %s", (_, rms, step, at) => {
    expect(findRepeats(noisy(200_000, rms, step, at), 6720)).toEqual([]);
  });
});
