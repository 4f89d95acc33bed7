import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import {
  type BandPower,
  computeBandPower,
  computeDensityAround,
  computeLinePower,
  estimateNoiseDensity,
  getBackground,
  type PowerSpectrum,
  welch,
} from "../../src/dsp/welch.js";
import { gaussian } from "../helpers/noise.js";
import { makeSamples } from "../helpers/samples.js";
import { slow } from "../helpers/slow.js";

// Source: scipy.signal.welch on the same samples; tests/reference/scipy/welch.py made the file.
const scipy = JSON.parse(
  readFileSync(new URL("../reference/scipy/welch.json", import.meta.url), "utf8"),
);

const rate = 8000;

/** The samples that scipy had: red noise with a tone. */
function samples(count: number): Float64Array {
  let state = 12345;
  let last = 0;
  return makeSamples(count, (n) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    last = state / 2 ** 32 - 0.5 + 0.9 * last;
    return last + 0.2 * Math.sin((2 * Math.PI * 1500 * n) / rate);
  });
}

/** A spectrum by hand: bins of 1 Hz. */
function spectrum(density: readonly number[], segments = 10): PowerSpectrum {
  return { density: Float64Array.from(density), stepHz: 1, segments };
}

/** What a figure of noise comes to over many seeds: its mean, its scatter, and what it says of that. */
function scatter(runs: number, figure: (seed: number) => BandPower) {
  const figures = Array.from({ length: runs }, (_, seed) => figure(seed + 1));
  const mean = figures.reduce((sum, { power }) => sum + power, 0) / runs;
  const variance = figures.reduce((sum, { power }) => sum + (power - mean) ** 2, 0) / (runs - 1);
  const told = figures.reduce((sum, { stdDev }) => sum + stdDev, 0) / runs;
  return { mean, stdDev: Math.sqrt(variance), told };
}

const white = (count: number, seed: number) =>
  welch(makeSamples(count, gaussian(seed)), rate, 512 / rate);

describe("welch", () => {
  it.each<{ size: number; count: number; stepHz: number; segments: number; density: number[] }>(
    scipy.spectra,
  )("is scipy's density of $segments segments of $size samples", (expected) => {
    const { density, stepHz, segments } = welch(
      samples(expected.count),
      rate,
      expected.size / rate,
    );
    expect([stepHz, segments]).toEqual([expected.stepHz, expected.segments]);
    expect(density).toHaveLength(expected.density.length);
    expected.density.forEach((power, k) => {
      expect(density[k] / power, `bin ${k}`).toBeCloseTo(1, 9);
    });
  });

  it("makes a segment a power of two that is no longer than the samples", () => {
    expect(welch(samples(1000), rate, 0.03).stepHz).toBe(rate / 256);
    expect(welch(samples(1000), rate, 1).stepHz).toBe(rate / 512);
    expect(welch(samples(64), rate, 1)).toMatchObject({ stepHz: rate / 64, segments: 1 });
  });

  it("refuses fewer than 64 samples", () => {
    expect(() => welch(samples(63), rate, 1)).toThrow(RangeError);
  });
});

describe("computeBandPower", () => {
  const whole = welch(samples(5000), rate, 256 / rate);

  it.each<{ fromHz: number; toHz: number; power: number }>(scipy.bands)(
    "from $fromHz to $toHz Hz is what scipy's density holds there",
    ({ fromHz, toHz, power }) => {
      expect(computeBandPower(whole, fromHz, toHz).power / power).toBeCloseTo(1, 9);
    },
  );

  it("counts each bin by its weight", () => {
    const { fromHz, toHz, power } = scipy.weighted;
    expect(computeBandPower(whole, fromHz, toHz, (hz) => hz / 1000).power / power).toBeCloseTo(
      1,
      9,
    );
  });

  it.each([
    [1024, 3000],
    [4096, 300],
    [16_384, 60],
  ])("scatters in noise of %i samples as much as it says, over %i Hz", slow, (count, widthHz) => {
    // The expected mean is σ²·2B/fs. The scatter itself is uncertain by 1/√(2·199) of itself, 5 %.
    const { mean, stdDev, told } = scatter(200, (seed) =>
      computeBandPower(white(count, seed), 500, 500 + widthHz),
    );
    expect(Math.abs(mean - (2 * widthHz) / rate)).toBeLessThan((4 * stdDev) / Math.sqrt(200));
    expect(stdDev / told).toBeGreaterThan(0.82);
    expect(stdDev / told).toBeLessThan(1.18);
  });

  it("knows of even noise what the correlation of Hann bins makes of its scatter", () => {
    // Of ten bins in one segment: squared correlations 4/9 of 9 neighbours, 1/36 of 8 next to these.
    const even = { density: new Float64Array(400).fill(1), stepHz: 1, segments: 1 };
    const { power, stdDev } = computeBandPower(even, 199.5, 209.5);
    expect(power).toBeCloseTo(10, 12);
    expect(stdDev ** 2).toBeCloseTo(10 + (2 * 9 * 4) / 9 + (2 * 8) / 36, 12);
  });

  it("lets a steady line scatter only by its beating with the noise beneath it", () => {
    const { mean, stdDev, told } = scatter(200, (seed) => {
      const next = gaussian(seed);
      const noisy = makeSamples(
        4096,
        (n) => 0.01 * next() + Math.sin((2 * Math.PI * 1500 * n) / rate),
      );
      return computeBandPower(welch(noisy, rate, 512 / rate), 1400, 1600);
    });
    // closed form: a sine of amplitude 1 has a power of 1/2, the noise 10⁻⁴·2·200/8000
    expect(mean).toBeCloseTo(0.5 + 5e-6, 4);
    expect(stdDev / told).toBeGreaterThan(0.7);
    expect(stdDev / told).toBeLessThan(1.3);
  });
});

describe("computeLinePower", () => {
  it.each([1500, 1503.9, 1507.8])("of a sine at %d Hz is half its amplitude squared", (hz) => {
    // closed form; between bins the five that count hold a Hann line but for parts in a thousand
    const tone = makeSamples(8192, (n) => 0.4 * Math.sin((2 * Math.PI * hz * n) / rate));
    const { power } = computeLinePower(welch(tone, rate, 512 / rate), hz);
    expect(power / 0.08).toBeGreaterThan(0.995);
    expect(power / 0.08).toBeLessThan(1.0001);
  });

  it("takes off the noise beneath, and scatters about as it says where there is only noise", () => {
    const { mean, stdDev, told } = scatter(200, (seed) =>
      computeLinePower(white(8192, seed), 1000),
    );
    // The noise in the five bins is 5·15.6 Hz·2/8000: in the mean all of it must be gone.
    expect(Math.abs(mean)).toBeLessThan(0.06 * ((5 * 15.625 * 2) / rate));
    // The noise taken off scatters as well.
    expect(stdDev / told).toBeGreaterThan(0.85);
    expect(stdDev / told).toBeLessThan(1.6);
  });

  it("is not misled by a line next door", () => {
    const density = new Array(40).fill(1);
    density[20] = 101;
    density[26] = 500;
    // the five bins hold 105, the noise beneath 5·1/(1 − 1/30)
    const { power, stdDev } = computeLinePower(spectrum(density), 20);
    const noise = 1 / (1 - 1 / 30);
    expect(power).toBeCloseTo(105 - 5 * noise, 12);
    // correlation of Hann bins: 1 + 2·(4/9 + 1/36)
    expect(stdDev).toBeCloseTo(noise * Math.sqrt((5 * (1 + 2 * (4 / 9 + 1 / 36))) / 10), 12);
  });

  it("is nothing where there are no bins around it", () => {
    expect(computeLinePower(spectrum([1, 1, 1]), 1)).toEqual({ power: 0, stdDev: 0 });
  });
});

describe("computeDensityAround", () => {
  const steps = spectrum([100, 1, 2, 3, 4, 5, 6, 100]);

  it("is the mean of the bins within the width", () => {
    expect(computeDensityAround(steps, 3, 2)).toBe(3);
    expect(computeDensityAround(steps, 4, 4)).toBe(4);
    expect(computeDensityAround(steps, 3, 0.1)).toBe(3);
  });

  it("leaves out the bin at zero and the last one", () => {
    expect(computeDensityAround(steps, 1, 2)).toBe(1.5);
    expect(computeDensityAround(steps, 6, 2)).toBe(5.5);
  });
});

describe("estimateNoiseDensity", () => {
  it("is the median of the second to seventh bin on both sides, brought to the mean", () => {
    // around bin 10: 3 … 8 and 12 … 17; the median of twelve values lies between 8 and 12
    const density = Array.from({ length: 30 }, (_, k) => k);
    for (const k of [9, 10, 11]) density[k] = 1e6;
    expect(estimateNoiseDensity(spectrum(density, 2), 10)).toBeCloseTo(10 / (1 - 1 / 6), 12);
  });

  it("does not hear another line next door", () => {
    const density = new Array(30).fill(2);
    density[14] = 1e6;
    expect(estimateNoiseDensity(spectrum(density, 100), 10)).toBeCloseTo(2 / (1 - 1 / 300), 12);
  });

  it("is above zero also if there is none", () => {
    expect(estimateNoiseDensity(spectrum(new Array(30).fill(0)), 10)).toBeGreaterThan(0);
  });

  it.each([1, 3, 20])("is right in the mean for noise of %i segments", (segments) => {
    const { mean, stdDev } = scatter(200, (seed) => ({
      power: estimateNoiseDensity(white(256 * (segments + 1), seed), 1500),
      stdDev: 0,
    }));
    // closed form: white noise of variance 1 has 2/fs per hertz. The correction of the median is
    // itself good to some percent: 1 − 1/3 for ln 2 with a single segment.
    const bias = mean / (2 / rate) - 1;
    expect(Math.abs(bias)).toBeLessThan(0.07 + (4 * stdDev) / (Math.sqrt(200) * (2 / rate)));
  });
});

describe("getBackground", () => {
  it("is the median of each 32 bins and of what is left of them at the end", () => {
    // definition: the middle of the sorted bins, the upper one of two; 7 and 32 have no common factor
    const scattered = Array.from({ length: 32 }, (_, k) => (k * 7) % 32);
    const background = getBackground(
      spectrum([...scattered, ...scattered.map((x) => 100 + x), 9, 8, 1, 7, 2]),
    );
    expect([0, 31, 32, 63, 64, 68].map(background)).toEqual([16, 16, 116, 116, 7, 7]);
  });

  it("does not hear lines that fill less than half of its bins", () => {
    const density = Array.from({ length: 32 }, (_, k) => (k < 15 ? 1e6 : 2));
    expect(getBackground(spectrum(density))(3)).toBe(2);
  });
});
