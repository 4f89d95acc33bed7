import { describe, expect, it } from "vitest";
import { createFftPlan } from "../../src/dsp/fft.js";
import { welch } from "../../src/dsp/welch.js";
import { gaussian } from "../helpers/noise.js";
import { makeSamples } from "../helpers/samples.js";

// Expected values: the definition of the discrete Fourier transform, summed term by term.

function definition(samples: Float64Array): { re: number; im: number }[] {
  const size = samples.length;
  return Array.from({ length: size / 2 + 1 }, (_, k) => {
    let re = 0;
    let im = 0;
    samples.forEach((x, n) => {
      re += x * Math.cos((2 * Math.PI * k * n) / size);
      im -= x * Math.sin((2 * Math.PI * k * n) / size);
    });
    return { re, im };
  });
}

const noise = (count: number) => makeSamples(count, gaussian(count));

describe("the transform of a real signal", () => {
  it.each([4, 8, 16, 64, 512])("of %i samples is what the definition says", (size) => {
    const samples = noise(size);
    const out = new Float64Array(size + 2);
    createFftPlan(size).forwardReal(samples, out);
    definition(samples).forEach(({ re, im }, k) => {
      expect(out[2 * k]).toBeCloseTo(re, 9);
      expect(out[2 * k + 1]).toBeCloseTo(im, 9);
    });
  });

  it.each([4, 8, 256])("of %i samples is undone by its inverse", (size) => {
    const samples = noise(size);
    const out = new Float64Array(size + 2);
    const back = new Float64Array(size);
    createFftPlan(size).forwardReal(samples, out);
    createFftPlan(size).inverseReal(out, back);
    samples.forEach((x, n) => {
      expect(back[n]).toBeCloseTo(x, 12);
    });
  });

  it("has sizes that are powers of two", () => {
    for (const size of [0, 2, 12, 1.5]) expect(() => createFftPlan(size)).toThrow(RangeError);
  });
});

describe("welch", () => {
  it.each([2, 3])("averages the periodograms of %i segments", (segments) => {
    // the definition: |DFT of the windowed segment|²·2/(fs·Σw²), half overlapping
    const size = 64;
    const samples = noise((size / 2) * (segments + 1));
    const { density } = welch(samples, size, 1);
    const window = Array.from(
      { length: size },
      (_, n) => 0.5 - 0.5 * Math.cos((2 * Math.PI * n) / size),
    );
    const power = window.reduce((sum, w) => sum + w * w, 0);
    const expected = new Float64Array(size / 2 + 1);
    for (let s = 0; s < segments; s++) {
      const part = Float64Array.from(window, (w, n) => w * samples[(s * size) / 2 + n]);
      definition(part).forEach(({ re, im }, k) => {
        const sides = k === 0 || k === size / 2 ? 1 : 2;
        expected[k] += (sides * (re * re + im * im)) / (segments * size * power);
      });
    }
    density.forEach((value, k) => {
      expect(value / expected[k]).toBeCloseTo(1, 9);
    });
  });
});
