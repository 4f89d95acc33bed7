import { describe, expect, it } from "vitest";
import { createMatchedFilter } from "../../src/dsp/matched-filter.js";
import { gaussian } from "../helpers/noise.js";
import { makeSamples } from "../helpers/samples.js";

const noise = (count: number, seed: number) => makeSamples(count, gaussian(seed));

interface Results {
  readonly correlation: number[];
  readonly energy: number[];
}

function correlated(template: Float64Array, samples: Float64Array, leastEnergy: number): Results {
  const correlation: number[] = [];
  const energy: number[] = [];
  const filter = createMatchedFilter(template, leastEnergy, (first, c, e, count) => {
    for (let t = 0; t < count; t++) {
      correlation[first + t] = c[t];
      energy[first + t] = e[t];
    }
  });
  // blocks of any length
  for (let at = 0; at < samples.length; at += 1000) {
    const part = samples.subarray(at, at + 1000);
    filter.push(part, part.length);
  }
  filter.flush();
  return { correlation, energy };
}

describe("the matched filter", () => {
  it("gives the sums of its definition at every place, silence following", () => {
    // expected: c(t) = Σ h(n)·x(t+n) and E(t) = Σ x²(t+n), summed term by term
    const template = noise(50, 1);
    const samples = noise(5000, 2);
    const { correlation, energy } = correlated(template, samples, 0);
    for (let t = 0; t < samples.length; t++) {
      let c = 0;
      let e = 0;
      for (let n = 0; n < template.length; n++) {
        const x = samples[t + n] ?? 0;
        c += template[n] * x;
        e += x * x;
      }
      expect(correlation[t]).toBeCloseTo(c, 10);
      expect(energy[t]).toBeCloseTo(e, 9);
    }
  });

  it("passes over silence, and nothing else", () => {
    const template = noise(50, 3);
    const samples = new Float64Array(20_000);
    samples.set(noise(100, 4), 12_000);
    const whole = correlated(template, samples, 0);
    const { correlation } = correlated(template, samples, 1e-9);
    expect(correlation.filter((c) => c !== undefined).length).toBeLessThan(10_000);
    whole.correlation.forEach((c, t) => {
      if (whole.energy[t] > 1e-9) expect(correlation[t]).toBe(c);
    });
  });

  it("has forgotten an absurd sample as soon as a block later", () => {
    const template = noise(50, 5);
    const samples = noise(5000, 6);
    const clean = correlated(template, samples, 0);
    const spoilt = Float64Array.from(samples);
    spoilt[700] = 1e60;
    const { correlation, energy } = correlated(template, spoilt, 0);
    // Eight templates, up to the next power of two, go through one transform, and two share it.
    const farFrom = 700 + 2 * 512;
    for (let t = farFrom; t < samples.length; t++) {
      expect(correlation[t]).toBeCloseTo(clean.correlation[t], 10);
      expect(energy[t]).toBeCloseTo(clean.energy[t], 9);
    }
  });
});
