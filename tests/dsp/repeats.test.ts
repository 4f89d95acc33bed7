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
