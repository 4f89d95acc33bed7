import { describe, expect, it } from "vitest";
import { fitHarmonicLines, subtractLines } from "../../src/dsp/harmonic-lines.js";
import { gaussian } from "../helpers/noise.js";

const rate = 48_000;
const seconds = 2;

/** Lines at multiples of a frequency, each Aₖ·cos(2πkft + k), over white noise. */
function hum(frequencyHz: number, amplitudes: readonly number[], noiseRms: number, seed = 1) {
  const next = gaussian(seed);
  return Float64Array.from({ length: seconds * rate }, (_, n) =>
    amplitudes.reduce(
      (sum, a, i) => sum + a * Math.cos((2 * Math.PI * (i + 1) * frequencyHz * n) / rate + (i + 1)),
      noiseRms * next(),
    ),
  );
}

const rms = (samples: Float64Array) =>
  Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);

function fitted(samples: Float64Array, nominalHz = 50, withinHz = 0.5, count = 10) {
  const lines = fitHarmonicLines(samples, rate, nominalHz, withinHz, count);
  if (lines === undefined) throw new Error("no line stands out");
  return lines;
}

const amplitudes = [1e-3, 2e-4, 5e-4, 0, 1e-4];

describe("fitHarmonicLines", () => {
  it.each([
    [50, 49.62],
    [50, 50],
    [50, 50.013],
    [60, 60.41],
  ])("finds frequency and amplitudes of lines near %i Hz that lie at %d Hz", (nominal, truth) => {
    // closed form: those put in; all but noiseless, so that what is left is the method's own
    const lines = fitted(hum(truth, amplitudes, 1e-8), nominal);
    expect(Math.abs(lines.frequencyHz - truth)).toBeLessThan(1e-5);
    expect(lines.amplitudes).toHaveLength(10);
    [...amplitudes, 0, 0, 0, 0, 0].forEach((a, k) => {
      expect(Math.abs(lines.amplitudes[k] - a), `line ${k + 1}`).toBeLessThan(1e-6);
    });
    expect(Math.abs(lines.seconds - seconds)).toBeLessThan(0.05);
  });

  it("scatters in noise as the Cramér–Rao bounds say", () => {
    // source: S. M. Kay, "Estimation Theory", ex. 3.14; the noise has S = 2σ²/fs per hertz
    const noiseRms = 0.02;
    const truth = 50.07;
    const runs = 24;
    let frequencies = 0;
    let first = 0;
    for (let seed = 1; seed <= runs; seed++) {
      const lines = fitted(hum(truth, amplitudes, noiseRms, seed));
      frequencies += ((lines.frequencyHz - truth) / lines.deviationHz) ** 2 / runs;
      first += (lines.amplitudes[0] - amplitudes[0]) ** 2 / lines.variances[0] / runs;
      const density = (2 * noiseRms ** 2) / rate;
      expect(lines.densities[2] / density).toBeGreaterThan(0.5);
      expect(lines.densities[2] / density).toBeLessThan(2);
      expect(lines.variances[2] / lines.densities[2]).toBeCloseTo(1 / lines.seconds, 9);
    }
    // The mean square of 24 normal deviates is 1 ± 0.29: three of those either way.
    for (const square of [frequencies, first]) {
      expect(square).toBeGreaterThan(0.13);
      expect(square).toBeLessThan(1.87);
    }
  });

  it("finds no line in noise alone", () => {
    for (let seed = 1; seed <= 8; seed++) {
      expect(fitHarmonicLines(hum(50, [], 1e-3, seed), rate, 50, 0.5, 10)).toBeUndefined();
    }
  });

  it("takes neither a line out of reach nor the skirt of a strong tone for the mains", () => {
    expect(fitHarmonicLines(hum(60, [1e-3], 1e-6), rate, 50, 0.5, 10)).toBeUndefined();
    expect(fitHarmonicLines(hum(1003, [0.5], 1e-6), rate, 50, 0.5, 10)).toBeUndefined();
  });
});

describe("subtractLines", () => {
  it("leaves the noise and nothing of the lines", () => {
    const samples = hum(49.93, amplitudes, 1e-6);
    const lines = fitted(samples);
    subtractLines(samples, rate, lines);
    // Read off linearly, the series is good to 3 parts in 10⁵ at the 20th line and far more below.
    expect(rms(samples)).toBeLessThan(1.2e-6);
    expect(rms(samples)).toBeGreaterThan(0.95e-6);
  });
});
