import { describe, expect, it } from "vitest";
import {
  computeBandPower,
  computeDensityAround,
  computeLinePower,
  estimateNoiseDensity,
  type PowerSpectrum,
} from "../../src/dsp/welch.js";

// Expected: sums by hand over spectra of a few bins. Neighbouring Hann bins have the squared
// correlation (2/3)² and (1/6)², half-overlapping Hann segments 1/36 (P. D. Welch 1967; F. J. Harris,
// "On the use of windows for harmonic analysis", Proc. IEEE 66(1), 1978).

const squared = (apart: number) => [1, 4 / 9, 1 / 36][apart] ?? 0;
const averagesOf = (segments: number) => segments / (1 + (2 * (1 - 1 / segments)) / 36);

/** Variance of a sum of noise in neighbouring bins, for one average. */
function varianceOf(parts: readonly number[]): number {
  return parts.reduce(
    (sum, a, i) => sum + parts.reduce((all, b, j) => all + a * b * squared(Math.abs(i - j)), 0),
    0,
  );
}

function flat(bins: number, value: number, stepHz: number, segments: number): PowerSpectrum {
  return { density: new Float64Array(bins).fill(value), stepHz, segments };
}

describe("computeBandPower", () => {
  it.each([1, 2, 9])("sums even noise, half a bin at each edge, of %i segments", (segments) => {
    // 2 W/Hz in bins of 4 Hz, from 40 to 60 Hz: bins 10 to 15, 4, 8, 8, 8, 8 and 4 W.
    const { power, stdDev } = computeBandPower(flat(64, 2, 4, segments), 40, 60);
    expect(power).toBeCloseTo(40, 12);
    const parts = [4, 8, 8, 8, 8, 4];
    expect(stdDev).toBeCloseTo(Math.sqrt(varianceOf(parts) / averagesOf(segments)), 12);
  });

  it("weights the scatter as it does the power", () => {
    const weight = (hz: number) => hz / 10;
    const { power, stdDev } = computeBandPower(flat(64, 2, 1, 4), 9.5, 12.5, weight);
    const parts = [2, 2.2, 2.4];
    expect(power).toBeCloseTo(6.6, 12);
    expect(stdDev).toBeCloseTo(Math.sqrt(varianceOf(parts) / averagesOf(4)), 12);
  });

  it("ends with the spectrum, and begins with it", () => {
    // 16 bins of 2 Hz: the last one reaches from 29 to 31 Hz.
    expect(computeBandPower(flat(16, 1, 2, 1), 25, 1000).power).toBeCloseTo(6, 12);
    expect(computeBandPower(flat(16, 1, 2, 1), -8, 3).power).toBeCloseTo(4, 12);
    expect(computeBandPower(flat(16, 1, 2, 1), 100, 200)).toEqual({ power: 0, stdDev: 0 });
  });

  it("is nothing in a band without width", () => {
    expect(computeBandPower(flat(16, 1, 2, 1), 10, 10)).toEqual({ power: 0, stdDev: 0 });
  });

  it("lets a line scatter by its beating with the noise beneath it, from 20 times the median on", () => {
    const segments = 5;
    const spectrum = flat(64, 3, 2, segments);
    // From 15 to 25 Hz: bins 8 to 12 whole, 6 W of noise in each; the line in bin 10.
    const noise = varianceOf([6, 6, 6, 6, 6]);
    const all = 1 + 2 * (4 / 9 + 1 / 36);
    for (const times of [20, 500]) {
      spectrum.density[10] = 3 * times;
      const { power, stdDev } = computeBandPower({ ...spectrum }, 15, 25);
      expect(power).toBeCloseTo(24 + 6 * times, 10);
      const beats = 2 * 6 * times * 6 * all;
      expect(stdDev).toBeCloseTo(Math.sqrt((noise + beats) / averagesOf(segments)), 10);
    }
    const below = flat(64, 3, 2, segments);
    below.density[10] = 3 * 19.99;
    const asNoise = varianceOf([6, 6, 6 * 19.99, 6, 6]);
    expect(computeBandPower(below, 15, 25).stdDev).toBeCloseTo(
      Math.sqrt(asNoise / averagesOf(segments)),
      10,
    );
  });

  it("takes for a line what stands out of its own 32 bins, the last few of a spectrum too", () => {
    // 70 bins: 32 of 1, 32 of 100, 6 of 1. A bin of 50 is a line in the first and the last block.
    const density = Float64Array.from({ length: 70 }, (_, k) => (k >= 32 && k < 64 ? 100 : 1));
    for (const k of [5, 40, 66]) density[k] = 50;
    const spectrum = { density, stepHz: 1, segments: 1 };
    const all = 1 + 2 * (4 / 9 + 1 / 36);
    const around = (k: number) => computeBandPower(spectrum, k - 0.5, k + 0.5);
    expect(around(5).stdDev).toBeCloseTo(Math.sqrt(1 + 2 * 50 * all), 10);
    expect(around(40).stdDev).toBeCloseTo(50, 10);
    expect(around(66).stdDev).toBeCloseTo(Math.sqrt(1 + 2 * 50 * all), 10);
  });
});

describe("computeLinePower", () => {
  /** Bins of which each has its own number as density. */
  const rising = (bins: number, stepHz: number, segments: number): PowerSpectrum => ({
    density: Float64Array.from({ length: bins }, (_, k) => k),
    stepHz,
    segments,
  });
  const scatter = Math.sqrt(5 * (1 + 2 * (4 / 9 + 1 / 36)));

  it("takes five bins, and beneath each the median of the third to seventh on both sides", () => {
    // Around bin 20: 13 to 17 and 23 to 27, of which 23 is the sixth of ten; 18 + … + 22 = 100.
    const { power, stdDev } = computeLinePower(rising(64, 2, 4), 40);
    const noise = 23 / (1 - 1 / 12);
    expect(power).toBeCloseTo((100 - 5 * noise) * 2, 10);
    expect(stdDev).toBeCloseTo((noise * 2 * scatter) / Math.sqrt(4), 10);
  });

  it("leaves out the first bin and the last", () => {
    // Around bin 4, 1 and 7 to 11: of 1, 7, 8, 9, 10, 11 the fourth is 9.
    expect(computeLinePower(rising(64, 1, 1), 4).stdDev).toBeCloseTo(13.5 * scatter, 10);
    // Around bin 27 of 32: 20 to 24 and 30: of 20, 21, 22, 23, 24, 30 the fourth is 23.
    expect(computeLinePower(rising(32, 1, 1), 27).stdDev).toBeCloseTo(34.5 * scatter, 10);
  });

  it("finds the median whatever the order of the bins", () => {
    const spectrum = flat(64, 0, 1, 1);
    [13, 14, 15, 16, 17, 23, 24, 25, 26, 27].forEach((k, i) => {
      // 7·i modulo 10 has each of 0 to 9 once.
      spectrum.density[k] = (7 * i) % 10;
    });
    expect(computeLinePower(spectrum, 20).stdDev).toBeCloseTo((5 / (1 - 1 / 3)) * scatter, 10);
  });
});

describe("computeDensityAround", () => {
  const density = Float64Array.from({ length: 101 }, (_, k) => k);
  it.each([
    ["in the middle", 100, 40, 50],
    ["one bin", 100, 0, 50],
    ["from the second bin on", 0, 20, 3],
    ["up to the last but one", 200, 8, 98.5],
    ["beyond the end", 400, 8, 100],
  ])("is the mean of the bins: %s", (_, hz, widthHz, expected) => {
    // Bins of 2 Hz that have their number as density.
    expect(computeDensityAround({ density, stepHz: 2, segments: 1 }, hz, widthHz)).toBeCloseTo(
      expected,
      12,
    );
  });
});

describe("estimateNoiseDensity", () => {
  const at = (bins: number, hz: number) =>
    estimateNoiseDensity(
      { density: Float64Array.from({ length: bins }, (_, k) => k * k), stepHz: 2, segments: 2 },
      hz,
    );
  it.each([
    // Around bin 20: 13 to 18 and 22 to 27, middle ones 18 and 22.
    ["in the middle", 64, 40, (18 ** 2 + 22 ** 2) / 2],
    // Around bin 3: 1 and 5 to 10, the middle one 7.
    ["at the beginning", 64, 6, 49],
    // Around bin 60 of 64: 53 to 58 and 62, the middle one 56.
    ["at the end", 64, 120, 56 ** 2],
  ])("is the median of the second to seventh bin on both sides: %s", (_, bins, hz, median) => {
    expect(at(bins, hz)).toBeCloseTo(median / (1 - 1 / 6), 10);
  });
});
