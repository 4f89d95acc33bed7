import { describe, expect, it } from "vitest";
import type { HarmonicLines } from "../../src/dsp/harmonic-lines.js";
import type { PowerSpectrum } from "../../src/dsp/welch.js";
import {
  computeAmplitudeVariance,
  computeDensityBetween,
  computeHiddenMainsVariance,
  computeMainsVariance,
  computeResidualShare,
  computeVarianceBeside,
  isBesideLines,
} from "../../src/measure/line-noise.js";
import { makeSamples } from "../helpers/samples.js";

// Expected: a line a beside the frequency by d cycles of the stretch leaks sinc(d) of itself into a fit
// (the transform of a rectangle); its phase is unknown, so the variance is a²·sinc²/2. Noise of
// density S over T: S/T (S. M. Kay, "Fundamentals of Statistical Signal Processing: Estimation
// Theory", 1993, example 3.14).

const lines = (...amplitudes: readonly number[]): HarmonicLines => ({
  frequencyHz: 50,
  deviationHz: 0,
  amplitudes: Float64Array.from(amplitudes),
  variances: new Float64Array(amplitudes.length),
  densities: new Float64Array(amplitudes.length),
  seconds: 1,
  series: { re: new Float64Array(1), im: new Float64Array(1) },
  middle: 0,
  higher: [],
});
/** Bins of 1 Hz. */
const spectrum = (density: (hz: number) => number, size = 2000): PowerSpectrum => ({
  density: makeSamples(size, (k) => density(k)),
  stepHz: 1,
  segments: 10,
});
const sinc = (x: number) => Math.sin(Math.PI * x) / (Math.PI * x);

describe("computeHiddenMainsVariance", () => {
  it("is what a found line of that power would put on an amplitude beside it", () => {
    // closed form: 950 Hz away over 20 ms is the 19th side lobe, whose mean of sinc² is 1/(2·(19π)²)
    const hidden = (counts: (order: number) => boolean) => (counts(1) ? 0.2 ** 2 : 0);
    const most = computeHiddenMainsVariance(hidden, 50, 40, 1000, 0.02);
    expect(most).toBeCloseTo(0.2 ** 2 / 2 / (2 * (19 * Math.PI) ** 2), 12);
    expect(most).toBeCloseTo(computeMainsVariance(lines(0.2), 1000, 0.02), 12);
  });

  it("goes up to the highest order, and from three quarters of a cycle on", () => {
    const of = (order: number, hz: number) =>
      computeHiddenMainsVariance((counts) => (counts(order) ? 1 : 0), 50, 40, hz, 1);
    const lobe = (cycles: number) => 0.5 / (Math.PI * cycles) ** 2 / 2;
    expect(of(40, 1900)).toBeCloseTo(lobe(100), 12);
    expect(of(41, 1900)).toBe(0);
    expect(of(1, 50.75)).toBeCloseTo(lobe(0.75), 12);
    expect(of(1, 50.74)).toBe(0);
  });

  it("leaves to the noise what hides beneath the amplitude", () => {
    const hidden = (counts: (order: number) => boolean) => (counts(20) ? 0.2 ** 2 : 0);
    expect(computeHiddenMainsVariance(hidden, 50, 40, 1000, 0.02)).toBe(0);
  });
});

describe("computeMainsVariance", () => {
  it("is half the square of a line on the frequency, less what noise gave it", () => {
    expect(computeMainsVariance(lines(0, 0.2), 100, 1)).toBeCloseTo(0.02, 12);
    const noisy = { ...lines(0, 0.2), variances: Float64Array.from([0, 0.005]) };
    expect(computeMainsVariance(noisy, 100, 1)).toBeCloseTo(0.015, 12);
    const hidden = { ...lines(0, 0.2), variances: Float64Array.from([0, 0.5]) };
    expect(computeMainsVariance(hidden, 100, 1)).toBe(0);
  });

  it("is the side lobe of one beside it, and beyond the main lobe its mean", () => {
    // 1 Hz beside the second line, over half a second: half a cycle
    expect(computeMainsVariance(lines(0, 0.2), 101, 0.5)).toBeCloseTo(0.02 * sinc(0.5) ** 2, 12);
    expect(computeMainsVariance(lines(0, 0.2), 99.5, 1)).toBeCloseTo(0.02 * sinc(0.5) ** 2, 12);
    expect(computeMainsVariance(lines(0, 0.2), 100.74, 1)).toBeCloseTo(0.02 * sinc(0.74) ** 2, 12);
    // four cycles and more: the mean of sin² over a lobe
    expect(computeMainsVariance(lines(0, 0.2), 104.1, 1)).toBeCloseTo(
      0.02 * (0.5 / (4.1 * Math.PI) ** 2),
      12,
    );
  });

  it("is not nothing where a lobe ends, as the mains wander", () => {
    // E sin²(πc) over a normal distribution of c about 3: (1 − e^(−2π²σ²))/2, with 0.005 Hz of wandering
    // and 0.03 Hz of doubt at the first line, twice that at the second
    const doubtful = { ...lines(0, 0.2), deviationHz: 0.03 };
    const variance = 4 * (0.005 ** 2 + 0.03 ** 2);
    const share = (1 - Math.exp(-2 * Math.PI ** 2 * variance)) / 2 / (3 * Math.PI) ** 2;
    expect(computeMainsVariance(doubtful, 103, 1) / (0.02 * share)).toBeCloseTo(1, 2);
  });

  it("wanders by as many cycles as the stretch has seconds", () => {
    // 1 Hz beside it over 2 s is two cycles, 0.03 Hz of doubt at the second line 0.12.
    const doubtful = { ...lines(0, 0.2), deviationHz: 0.03 };
    const cycles = 4 * Math.hypot(0.005, 0.03);
    const share =
      (1 - Math.exp(-2 * (Math.PI * cycles) ** 2)) / 2 / (Math.PI * Math.hypot(2, cycles)) ** 2;
    expect(computeMainsVariance(doubtful, 101, 2) / (0.02 * share)).toBeCloseTo(1, 9);
    // From four cycles on it is the mean over a lobe, wherever in it.
    expect(computeMainsVariance(lines(0, 0.2), 104, 1)).toBeCloseTo(
      0.02 * (0.5 / (4 * Math.PI) ** 2),
      12,
    );
  });

  it("counts lines above those that were asked for", () => {
    const higher = [{ order: 60, amplitude: 0.2, variance: 0.005, density: 0 }];
    expect(computeMainsVariance({ ...lines(0, 0), higher }, 3000, 1)).toBeCloseTo(0.015, 12);
  });

  it("adds up all lines, and is nothing without any", () => {
    const both = computeMainsVariance(lines(0.1, 0.2), 75, 1);
    expect(both).toBeCloseTo((0.01 + 0.04) / 2 / (2 * (25 * Math.PI) ** 2), 12);
    expect(computeMainsVariance(undefined, 50, 1)).toBe(0);
  });
});

describe("computeResidualShare", () => {
  it("is what a fit of two leaves of 2·B·T degrees of freedom", () => {
    expect(computeResidualShare(40, 0.25)).toBeCloseTo((20 - 2) / 20, 12);
    expect(computeResidualShare(10, 0.2)).toBe(0.5);
    // Of fewer than four it leaves no less than half.
    expect(computeResidualShare(5, 0.2)).toBe(0.5);
    expect(computeResidualShare(10, 0.21)).toBeCloseTo(1 - 1 / 2.1, 12);
  });
});

describe("computeDensityBetween", () => {
  // A line of two bins' reach at 100, 150 and 200 Hz on a floor of 1.
  const hum = spectrum((hz) => (hz % 50 <= 2 || hz % 50 >= 48 ? 1000 : 1));

  it("leaves the bins of the mains out", () => {
    const four = lines(1, 1, 1, 1);
    expect(computeDensityBetween(hum, 150, 120, four)).toBe(1);
    expect(computeDensityBetween(hum, 150, 120, undefined)).toBeGreaterThan(50);
  });

  it("leaves out no more lines than were found", () => {
    expect(computeDensityBetween(hum, 150, 40, lines(1, 1))).toBeGreaterThan(50);
    expect(computeDensityBetween(hum, 150, 40, lines(1, 1, 1))).toBe(1);
  });

  it("averages over the width about the frequency", () => {
    const rising = spectrum((hz) => hz);
    expect(computeDensityBetween(rising, 425, 40, lines(0))).toBeCloseTo(425, 9);
    // at the low end from the first bin on
    expect(computeDensityBetween(rising, 5, 20, lines(0))).toBeCloseTo((15 * 16) / 2 / 15, 9);
  });

  it("averages over the same width whatever the bins' distance", () => {
    // Half hertz from bin to bin, each as dense as its number.
    const half = {
      density: Float64Array.from({ length: 2001 }, (_, k) => k),
      stepHz: 0.5,
      segments: 10,
    };
    expect(computeDensityBetween(half, 425, 40, lines(0))).toBeCloseTo(850, 9);
  });

  it("goes up to the last bin but one", () => {
    // 1985 to 1998 of 2000.
    const rising = spectrum((hz) => hz);
    expect(computeDensityBetween(rising, 1995, 20, lines(0))).toBeCloseTo((1985 + 1998) / 2, 9);
  });

  it("knows a line by its frequency, whatever the bins' distance", () => {
    // Half hertz from bin to bin: the line reaches from bin 298 to 302.
    const density = Float64Array.from({ length: 2001 }, (_, k) =>
      Math.abs(k - 300) < 2.5 ? 1000 : 1,
    );
    const half = { density, stepHz: 0.5, segments: 10 };
    expect(computeDensityBetween(half, 150, 20, lines(1, 1, 1))).toBe(1);
    expect(computeDensityBetween(half, 150, 20, lines(1, 1))).toBeGreaterThan(100);
  });

  it.each([
    // Two bins and a half beside a line, of as many lines as there are.
    [10, 1, true],
    [50, 1, false],
    [52.4, 1, false],
    [52.5, 1, true],
    [47.6, 1, false],
    [47.5, 1, true],
    [54, 2, false],
    [55, 2, true],
    [51, 0.5, false],
    [51.5, 0.5, true],
    [100, 1, false],
    [150, 1, true],
  ])("a bin at %f Hz of %f Hz lies clear of two lines of 50 Hz: %s", (hz, stepHz, isClear) => {
    expect(isBesideLines(hz, stepHz, lines(1, 1))).toBe(isClear);
  });

  it("falls back on all bins where the mains leave none", () => {
    expect(computeDensityBetween(hum, 150, 2, lines(1, 1, 1))).toBe(1000);
  });
});

describe("the variance of an amplitude", () => {
  it("is density over time, made good for what the fit took", () => {
    const variance = computeAmplitudeVariance(
      spectrum(() => 8),
      undefined,
      1000,
      0.5,
      40,
    );
    expect(variance).toBeCloseTo(8 / (1 - 1 / 20) / 0.5, 9);
  });

  it("gains a line of the mains that only the silence shows", () => {
    const rest = spectrum(() => 8);
    const noise = 8 / (1 - 1 / 20);
    const silence = (density: number) => spectrum(() => density);
    const variance = (density: number) =>
      computeAmplitudeVariance(rest, silence(density), 1000, 0.5, 40);
    expect(variance(2.99 * noise)).toBeCloseTo(noise / 0.5, 9);
    expect(variance(3.01 * noise)).toBeCloseTo(noise / 0.5 + 2.01 * noise * 12, 6);
  });

  it("beside the frequency is that of both sides", () => {
    // 2 below and 6 above 1000 Hz; 0.3 of the width either way
    const sides = spectrum((hz) => (hz < 1000 ? 2 : 6));
    expect(computeVarianceBeside(sides, undefined, 1000, 0.5, 100)).toBeCloseTo(4 / 0.5, 9);
    // 0.1 to 0.5 of the width: a bin in 41 on either side
    for (const side of [-1, 1]) {
      const one = spectrum((hz) => (hz === 1000 + 45 * side ? 3 + 41 : 3));
      expect(computeVarianceBeside(one, undefined, 1000, 0.5, 100)).toBeCloseTo(3.5 / 0.5, 9);
      const none = spectrum((hz) => (hz === 1000 + 55 * side ? 1e6 : 3));
      expect(computeVarianceBeside(none, undefined, 1000, 0.5, 100)).toBeCloseTo(3 / 0.5, 9);
    }
    // within a tenth of the width nothing counts
    const spoilt = spectrum((hz) => (Math.abs(hz - 1000) < 9 ? 1e6 : 3));
    expect(computeVarianceBeside(spoilt, undefined, 1000, 0.5, 100)).toBeCloseTo(3 / 0.5, 9);
  });
});
