import { describe, expect, it } from "vitest";
import { createDecimator } from "../../src/dsp/decimator.js";
import { makeSamples } from "../helpers/samples.js";

/** Root mean square of a tone of unit amplitude behind a decimator, its start left out. */
function through(factor: number, passHz: number, rateHz: number, hz: number): number {
  const thin = createDecimator(factor, passHz, rateHz);
  const samples = makeSamples(40_000, (n) => Math.sin((2 * Math.PI * hz * n) / rateHz));
  const heard: number[] = [];
  const out = new Float64Array(samples.length);
  // blocks of a length that suits neither the factor nor four outputs at once
  for (let at = 0; at < samples.length; at += 997) {
    const part = samples.subarray(at, at + 997);
    heard.push(...out.subarray(0, thin.push(part, part.length, out)));
  }
  const settled = heard.slice(500);
  return Math.sqrt(settled.reduce((sum, x) => sum + x * x, 0) / settled.length);
}

const cases = [
  { factor: 2, rateHz: 48_000 },
  { factor: 3, rateHz: 88_200 },
  { factor: 4, rateHz: 96_000 },
  { factor: 8, rateHz: 192_000 },
];

describe("the decimator", () => {
  // expected: a sine's r.m.s. is 1/√2; 60 dB is what the Kaiser design is asked for
  it.each(cases)("by $factor lets the pass band through as it is", ({ factor, rateHz }) => {
    for (const hz of [100, 3000, 9900]) {
      expect(through(factor, 10_000, rateHz, hz)).toBeCloseTo(Math.SQRT1_2, 2);
    }
  });

  it.each(cases)("by $factor keeps 60 dB of what folds onto it away", ({ factor, rateHz }) => {
    const outRate = rateHz / factor;
    for (const hz of [outRate - 9900, outRate - 3000, outRate + 3000]) {
      if (hz < rateHz / 2) expect(through(factor, 10_000, rateHz, hz)).toBeLessThan(1.2e-3);
    }
  });

  it("gives an output with the first sample, and with every further one that completes a step", () => {
    // It starts from rest: the zeros before the first sample are its own.
    const decimate = createDecimator(4, 5000, 48_000);
    const out = new Float64Array(8);
    const one = Float64Array.of(1);
    const written = Array.from({ length: 9 }, () => decimate.push(one, 1, out));
    expect(written).toEqual([1, 0, 0, 0, 1, 0, 0, 0, 1]);
  });

  it("says by how much its outputs lie before their samples", () => {
    // expected: a click at sample 1000 of a linear-phase filter comes out at 1000, delay added
    const thin = createDecimator(4, 10_000, 96_000);
    const click = new Float64Array(4000);
    click[1000] = 1;
    const out = new Float64Array(1000);
    const count = thin.push(click, click.length, out);
    const peak = out.subarray(0, count).indexOf(Math.max(...out.subarray(0, count)));
    expect(Math.abs(peak * 4 + thin.delay - 1000)).toBeLessThanOrEqual(4);
  });
});
