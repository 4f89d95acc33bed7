import { describe, expect, it } from "vitest";
import { foldPhases, subtractSeries } from "../../src/dsp/phase-fold.js";
import { gaussian } from "../helpers/noise.js";
import { makeSamples } from "../helpers/samples.js";

const clock = { cyclesPerSample: 50.013 / 8000, middle: 7001.3 };

/** The sums as they are defined, sample by sample. */
function directly(samples: Float64Array, order: number) {
  const sums = { re: 0, im: 0, momentRe: 0, momentIm: 0 };
  samples.forEach((x, n) => {
    const m = n - clock.middle;
    const angle = 2 * Math.PI * order * clock.cyclesPerSample * m;
    sums.re += x * Math.cos(angle);
    sums.im -= x * Math.sin(angle);
    sums.momentRe += m * x * Math.cos(angle);
    sums.momentIm -= m * x * Math.sin(angle);
  });
  return sums;
}

describe("foldPhases", () => {
  it("gives the sums at every multiple", () => {
    // closed form: the definition, summed directly; what sharing leaves is (k/points)² of the noise
    const next = gaussian(1);
    const samples = makeSamples(14_000, () => next());
    const { sum, moment } = foldPhases(samples, clock, 40, 8192);
    const scatter = Math.sqrt(samples.length / 2);
    for (const order of [0, 1, 7, 40]) {
      const wanted = directly(samples, order);
      expect(Math.abs(sum.re[order] - wanted.re)).toBeLessThan(1e-3 * scatter);
      expect(Math.abs(sum.im[order] - wanted.im)).toBeLessThan(1e-3 * scatter);
      const reach = (1e-3 * scatter * samples.length) / 2;
      expect(Math.abs(moment.re[order] - wanted.momentRe)).toBeLessThan(reach);
      expect(Math.abs(moment.im[order] - wanted.momentIm)).toBeLessThan(reach);
    }
  });
});

describe("subtractSeries", () => {
  it("takes a series out", () => {
    // closed form: Re Σ (re + i·im)·e^(2πikφ)
    const re = Float64Array.of(0.5, 1, 0, -0.3);
    const im = Float64Array.of(0, 0.2, 0.7, 0.4);
    const samples = makeSamples(9000, (n) =>
      re.reduce((sum, c, k) => {
        const angle = 2 * Math.PI * k * clock.cyclesPerSample * (n - clock.middle);
        return sum + c * Math.cos(angle) - im[k] * Math.sin(angle);
      }, 0),
    );
    subtractSeries(samples, { re, im }, clock, 16_384);
    expect(samples.reduce((most, x) => Math.max(most, Math.abs(x)), 0)).toBeLessThan(2e-6);
  });

  it("makes up for what reading off linearly takes off an order", () => {
    // A table of 64 points leaves sinc²(8/64) = 0.950 of the eighth order: uncorrected 5 % stay behind.
    const cyclesPerSample = 0.00317;
    const turn = (n: number) => 2 * Math.PI * 8 * cyclesPerSample * n;
    const samples = makeSamples(20_000, (n) => Math.cos(turn(n)));
    const re = makeSamples(9, (k) => (k === 8 ? 1 : 0));
    subtractSeries(samples, { re, im: new Float64Array(9) }, { cyclesPerSample, middle: 0 }, 64);
    const left = samples.reduce(
      (sum, x, n) => sum + (2 * x * Math.cos(turn(n))) / samples.length,
      0,
    );
    expect(Math.abs(left)).toBeLessThan(0.002);
  });
});
