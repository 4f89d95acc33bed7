import { describe, expect, it } from "vitest";
import {
  type CombSpectrum,
  computeCombSpectrum,
  computeElsewhere,
  computeHiddenPower,
  findComb,
  type Orders,
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

/** Bins of 0.1 Hz over ten seconds, some of them with a power; noise of density 0.25 has the power 1. */
function handMade(lines: Readonly<Record<number, number>>): CombSpectrum {
  const power = new Float64Array(4000);
  for (const [bin, one] of Object.entries(lines)) power[Number(bin)] = one;
  return { power, stepHz: 0.1, seconds: 10, perDensity: 4, perLine: 100 };
}

describe("findComb in a spectrum made by hand", () => {
  // A line's evidence: its power over the noise, less 5; beyond 40 it is 40·(1 + ln(x/40)).
  it.each([
    ["none", 4, 0],
    ["just none", 5, 0],
    ["a little", 6, 1],
    ["all that counts in full", 45, 40],
    ["twice that", 85, 40 * (1 + Math.log(2))],
  ])("counts a line's evidence: %s", (_, power, score) => {
    const found = findComb(handMade({ 502: power }), Float64Array.of(0.25), 50, 0.5);
    expect(found.score).toBeCloseTo(score, 12);
    // Candidates lie a fifth of a resolution apart: 0.02 Hz.
    expect(found).toMatchObject({ fromHz: 49.5 });
    expect(found.gridHz).toBeCloseTo(0.02, 12);
    expect(found.scores).toHaveLength(51);
    // 50.16 to 50.24 Hz are nearest to the bin of 50.2 Hz; of equal ones the first.
    if (score > 0) expect(found.hz).toBeCloseTo(50.16, 12);
    else expect(found.hz).toBe(49.5);
    found.scores.forEach((one, i) => {
      expect(one, `candidate ${i}`).toBeCloseTo(i >= 33 && i <= 37 ? score : 0, 12);
    });
  });

  it("adds up multiples, each over its own noise, on a grid so much finer", () => {
    const spectrum = handMade({ 502: 15, 1004: 24 });
    const found = findComb(spectrum, Float64Array.of(0.25, 0.5), 50, 0.5);
    expect(found.score).toBeCloseTo(10 + 7, 12);
    expect(found.gridHz).toBeCloseTo(0.01, 12);
    expect(found.scores).toHaveLength(101);
    // 2 × 50.18 to 2 × 50.22 Hz are nearest to the bin of 100.4 Hz.
    expect(found.hz).toBeCloseTo(50.18, 12);
  });

  it("tries at least one frequency on either side", () => {
    const found = findComb(handMade({}), Float64Array.of(0.25), 50, 0.001);
    expect(found.scores).toHaveLength(3);
  });
});

describe("computeElsewhere", () => {
  const candidate = (score: number, ...scores: number[]) => ({
    hz: 50,
    score,
    scores: Float64Array.from(scores),
    fromHz: 49,
    gridHz: 1,
  });
  it.each([
    ["those at the reach count as there", candidate(0, 0, 0, 0), 50, 1, 0],
    ["those beyond do not", candidate(0, 0, 0, 0), 50, 0.99, 2 / 3],
    [
      "likelihoods, not their logarithms, are added",
      candidate(2, 2, 2, 1),
      49,
      0.5,
      (1 + 1 / Math.E) / (2 + 1 / Math.E),
    ],
  ])("%s", (_, found, hz, reach, share) => {
    expect(computeElsewhere(found, hz, reach)).toBeCloseTo(share, 12);
  });
});

describe("computeHiddenPower in a spectrum made by hand", () => {
  const k = 1.65 ** 2;
  /** b = m + 1.65·√(2·b·v + s²), solved for b. */
  const boundOf = (m: number, v: number, squares: number) =>
    m + k * v + Math.sqrt((m + k * v) ** 2 - m * m + k * squares);
  const first: Orders = (order) => order === 1;
  const hidden = (lines: Readonly<Record<number, number>>, orders = first, densities = [0.25]) =>
    computeHiddenPower(handMade(lines), Float64Array.from(densities), 50, 0.5, orders);
  // Its six steps from below end within 3 % of that where there is noise alone.
  const close = (found: number, expected: number) => {
    expect(found / expected).toBeGreaterThan(0.97);
    expect(found / expected).toBeLessThan(1.001);
  };

  it("is what noise hides where nothing is", () => {
    // Noise alone has a mean a² of 0.25 · 4 / 100 = 0.01.
    close(hidden({}), boundOf(0, 0.01, 0.01 ** 2));
  });

  it.each([
    ["in the middle", 500, 2.99 * 1.15],
    ["at the lowest frequency", 495, 2.99 * 1.15],
    ["at the highest", 505, 2.99 * 1.15],
    ["below it", 493, 0],
    ["beyond it", 507, 0],
  ])("is what a line shows beyond the noise, and its scatter: %s", (_, bin, most) => {
    // a² = 3, less the noise's 0.01; 15 % may lie between two bins.
    close(hidden({ [bin]: 300 }), boundOf(most, 0.01, 0.01 ** 2));
  });

  it("counts the orders that are asked for, and no others", () => {
    const two = [0.25, 0.5];
    close(hidden({ 1000: 300 }, first, two), boundOf(0, 0.01, 0.01 ** 2));
    close(
      hidden({ 1000: 300 }, (order) => order === 2, two),
      boundOf(2.98 * 1.15, 0.02, 0.02 ** 2),
    );
    // Of both, noise of 0.01 and 0.02 is taken off; the largest widens it, their squares are added.
    close(
      hidden({ 500: 100, 1000: 300 }, () => true, two),
      boundOf(3.97 * 1.15, 0.02, 0.01 ** 2 + 0.02 ** 2),
    );
    expect(hidden({ 500: 300 }, () => false)).toBe(0);
  });
});
