import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { fitTone } from "../../src/dsp/sine-fit.js";
import { makeSamples } from "../helpers/samples.js";

// Source: scipy.optimize.least_squares on the same samples; tests/reference/scipy/sine-fit.py made
// the file.
const scipy = JSON.parse(readFileSync(new URL("scipy/sine-fit.json", import.meta.url), "utf8"));

it("fits a tone with harmonics in noise as scipy's least squares does", () => {
  const rate = 48_000;
  let state = 12345;
  const samples = makeSamples(20_000, (n) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    const theta = (2 * Math.PI * 1000.37 * n) / rate + 0.7;
    const tone = 0.1 * Math.cos(theta) + 1e-3 * Math.cos(2 * theta) + 3e-4 * Math.cos(3 * theta);
    return tone + 2e-3 + 1e-3 * (state / 2 ** 32 - 0.5);
  });
  const fit = fitTone(samples, 1000 / rate, 3);
  // The frequency is fitted to the fundamental alone (IEEE Std 1057), scipy's to the harmonics too:
  // they hold 4·(1 %)² of the information, so it may differ by a fiftieth of its deviation, which
  // is 1e-4 Hz here (Cramér–Rao bound); an amplitude stands at its maximum and differs by less.
  expect(Math.abs(fit.frequency * rate - scipy.frequencyHz)).toBeLessThan(2e-5);
  scipy.amplitudes.forEach((amplitude: number, k: number) => {
    expect(Math.abs(fit.amplitudes[k] - amplitude)).toBeLessThan(1e-9);
  });
  expect(Math.abs(fit.offset - scipy.offset)).toBeLessThan(1e-9);
  const power = fit.residual.reduce((sum, x) => sum + x * x, 0) / samples.length;
  expect(Math.sqrt(power) / scipy.residualRms).toBeCloseTo(1, 6);
});
