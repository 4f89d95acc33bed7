import { describe, expect, it } from "vitest";
import { followSweepPower } from "../../src/dsp/sweep-powers.js";
import { makeSamples } from "../helpers/samples.js";

/** Samples from 400 Hz to 18 kHz, and the phase of the sweep in them. */
function sweepOf(rate: number, rateS: number) {
  const growth = 1 / (rate * rateS);
  const radians = 2 * Math.PI * 400 * rateS;
  const phase = (n: number) => radians * Math.exp(growth * n);
  const length = Math.floor(Math.log(18_000 / 400) / growth);
  return { growth, radians, phase, length };
}

describe("power of a sweep, piece by piece", () => {
  it.each([
    [96_000, 0.4],
    [44_100, 0.2],
  ])("is that of its definition at %i Hz, a factor e in %f s", (rate, rateS) => {
    // Expected: the projection onto cosine and sine of the phase, summed as it is defined.
    const { growth, radians, phase, length } = sweepOf(rate, rateS);
    const size = Math.round(0.004 * rate);
    const samples = makeSamples(
      length,
      (n) => 0.1 * Math.cos(phase(n) + 0.7) + 0.01 * Math.sin(0.02 * n),
    );
    const powers = followSweepPower(samples, { radians, growth }, size);
    expect(powers).toHaveLength(Math.floor(length / size));
    let worst = 0;
    for (let k = 0; k < powers.length; k++) {
      let x = 0;
      let y = 0;
      for (let n = 0; n < size; n++) {
        const own = samples[k * size + n] * (1 - Math.cos((2 * Math.PI * (n + 0.5)) / size));
        x += own * Math.cos(phase(k * size + n));
        y += own * Math.sin(phase(k * size + n));
      }
      const defined = (4 * (x * x + y * y)) / (size * size);
      worst = Math.max(worst, Math.abs(10 * Math.log10(powers[k] / defined)));
    }
    // What the differences of higher order leave of the phase, at its largest 1e-7 radians.
    expect(worst).toBeLessThan(1e-6);
  });

  it("is the squared amplitude where a piece holds many periods, and follows it", () => {
    const { growth, radians, phase, length } = sweepOf(96_000, 0.4);
    const size = 384;
    const middle = Math.floor(length / size / 2);
    const samples = makeSamples(
      length,
      (n) => (n < middle * size ? 0.5 : 0.25) * Math.cos(phase(n)),
    );
    const powers = followSweepPower(samples, { radians, growth }, size);
    // Ten periods and more: the window's side lobes at twice the frequency lie below 1e-4.
    expect(powers[middle - 1]).toBeCloseTo(0.25, 3);
    expect(powers[middle]).toBeCloseTo(0.0625, 4);
    expect(powers[powers.length - 1]).toBeCloseTo(0.0625, 6);
  });

  it("leaves out what is less than a piece", () => {
    expect(followSweepPower(new Float64Array(767), { radians: 1, growth: 1e-5 }, 384)).toEqual(
      new Float64Array(1),
    );
  });
});
