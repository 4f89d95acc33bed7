import { describe, expect, it } from "vitest";
import {
  computeCombSpectrum,
  computeElsewhere,
  computeHiddenPower,
  findComb,
} from "../../src/dsp/line-search.js";
import { gaussian } from "../helpers/noise.js";
import { makeSamples } from "../helpers/samples.js";

const rate = 8000;
const seconds = 2;
const density = 2 / rate;
const densities = new Float64Array(40).fill(density);

/** White noise of variance 1 with lines { order: amplitude }. */
function heard(hz: number, lines: Readonly<Record<number, number>>, seed: number) {
  const next = gaussian(seed);
  return makeSamples(seconds * rate, (n) =>
    Object.entries(lines).reduce(
      (sum, [order, a]) => sum + a * Math.sin((2 * Math.PI * Number(order) * hz * n) / rate),
      next(),
    ),
  );
}

const spectrumOf = (samples: Float64Array) => computeCombSpectrum(samples, rate);

describe("computeCombSpectrum", () => {
  it("has the mean power of noise and of a line", () => {
    // closed form: E|Z|² = S·rate/2·Σw² in noise; a²/4·(Σw)² for a line on a bin
    const noise = spectrumOf(heard(50, {}, 1));
    const mean = noise.power.slice(100, 5000).reduce((sum, p) => sum + p, 0) / 4900;
    expect(Math.abs(mean / (density * noise.perDensity) - 1)).toBeLessThan(0.1);
    const line = spectrumOf(heard(50, { 1: 10 }, 1));
    const most = line.power.reduce((a, b) => Math.max(a, b));
    // Between two bins a line loses up to half a decibel.
    expect(most / (100 * line.perLine)).toBeGreaterThan(0.85);
    expect(most / (100 * line.perLine)).toBeLessThan(1.03);
  });
});

describe("findComb", () => {
  it("finds a comb by lines that are weak one by one", () => {
    // 1.5·2·density/seconds is the mean of a² in noise through the window; each line has 14 times that
    const a = Math.sqrt((14 * 3 * density) / seconds);
    const orders = [3, 8, 15, 22, 31, 38];
    const lines = Object.fromEntries(orders.map((order) => [order, a]));
    const found = findComb(spectrumOf(heard(50.13, lines, 3)), densities, 50, 0.5);
    expect(Math.abs(found.hz - 50.13)).toBeLessThan(0.01);
    expect(found.score).toBeGreaterThan(15);
    expect(computeElsewhere(found, 50.13, 0.02)).toBeLessThan(0.01);
    expect(computeElsewhere(found, 49.8, 0.02)).toBeGreaterThan(0.99);
  });

  it("prefers several lines to one that is far stronger", () => {
    const lines = { 5: 1, 9: 1, 13: 1 };
    const whistle = heard(1004, { 1: 30 }, 5);
    const samples = heard(49.9, lines, 6).map((x, n) => x + whistle[n]);
    const found = findComb(spectrumOf(samples), densities, 50, 0.5);
    expect(Math.abs(found.hz - 49.9)).toBeLessThan(0.05);
  });
});

describe("computeHiddenPower", () => {
  it("is exceeded by no set of lines", () => {
    let held = 0;
    const runs = 40;
    for (let seed = 1; seed <= runs; seed++) {
      const a = Math.sqrt((2 * density) / seconds);
      const spectrum = spectrumOf(heard(50.2, { 2: a, 9: a, 17: 2 * a }, seed));
      if (computeHiddenPower(spectrum, densities, 50, 0.5, () => true) >= 6 * a * a) held++;
    }
    // 95 of 100 at the least
    expect(held).toBeGreaterThanOrEqual(38);
  });
});
