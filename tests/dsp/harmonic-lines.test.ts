import { describe, expect, it } from "vitest";
import { extractHarmonicLines } from "../../src/dsp/harmonic-lines.js";
import { gaussian } from "../helpers/noise.js";
import { makeSamples } from "../helpers/samples.js";

const rate = 48_000;
const seconds = 2;

/** Lines at multiples of a frequency, each Aₖ·cos(2πkft + k), over white noise. */
function hum(frequencyHz: number, amplitudes: readonly number[], noiseRms: number, seed = 1) {
  const next = gaussian(seed);
  return makeSamples(seconds * rate, (n) =>
    amplitudes.reduce(
      (sum, a, i) => sum + a * Math.cos((2 * Math.PI * (i + 1) * frequencyHz * n) / rate + (i + 1)),
      noiseRms * next(),
    ),
  );
}

const rms = (samples: Float64Array) =>
  Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);

function fitted(samples: Float64Array, nominalHz = 50, withinHz = 0.5, count = 10) {
  const { lines } = extractHarmonicLines(samples, rate, nominalHz, withinHz, count);
  if (lines === undefined) throw new Error("no line stands out");
  return lines;
}

const amplitudes = [1e-3, 2e-4, 5e-4, 0, 1e-4];

describe("extractHarmonicLines", () => {
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
      expect(
        extractHarmonicLines(hum(50, [], 1e-3, seed), rate, 50, 0.5, 40).lines,
      ).toBeUndefined();
    }
  });

  it("takes neither a line out of reach nor the skirt of a strong tone for the mains", () => {
    expect(extractHarmonicLines(hum(60, [1e-3], 1e-6), rate, 50, 0.5, 10).lines).toBeUndefined();
    expect(extractHarmonicLines(hum(1003, [0.5], 1e-6), rate, 50, 0.5, 10).lines).toBeUndefined();
  });

  it("finds a comb that has none of the lowest lines, and a single line high up", () => {
    // closed form: those put in
    const upper = Array.from({ length: 20 }, (_, k) => (k + 1 >= 7 ? 1e-4 : 0));
    const comb = fitted(hum(49.82, upper, 1e-4, 3), 50, 0.5, 40);
    expect(Math.abs(comb.frequencyHz - 49.82)).toBeLessThan(1e-3);
    const ninth = fitted(hum(50.06, [0, 0, 0, 0, 0, 0, 0, 0, 3e-5], 1e-4, 5), 50, 0.5, 40);
    expect(Math.abs(ninth.frequencyHz - 50.06)).toBeLessThan(2e-3);
    expect(Math.abs(ninth.amplitudes[8] / 3e-5 - 1)).toBeLessThan(0.1);
  });

  it.each([49.8, 49.9, 50.03])(
    "finds a lone line of %d Hz that is enormous over the noise where it lies",
    (truth) => {
      // closed form: those put in; 1.1 s, over which its skirt reaches all multiples
      const samples = hum(truth, [0.25], 1e-5, 3).slice(0, 1.1 * rate);
      const lines = fitted(samples, 50, 0.5, 40);
      expect(Math.abs(lines.frequencyHz - truth)).toBeLessThan(1e-5);
      expect(Math.abs(lines.amplitudes[0] - 0.25)).toBeLessThan(1e-6);
      expect(rms(samples) / 1e-5).toBeLessThan(1.02);
    },
  );

  it("leaves a lone line to the whistles where chance may have put it", () => {
    // 1003 Hz may be the 20th of 50.15 Hz; of all frequencies there an eighth is as near to a multiple.
    const samples = hum(1003, [1e-3], 1e-6);
    const heard = samples.slice();
    expect(extractHarmonicLines(samples, rate, 50, 0.5, 40).lines).toBeUndefined();
    expect(samples).toEqual(heard);
  });

  it.each([
    [1003, 0.003],
    [1003, 0.1],
    [1289.4, 0.03],
    [1679, 0.1],
    [412.7, 0.03],
  ])("finds the mains under a whistle at %f Hz of amplitude %f", (hz, amplitude) => {
    const samples = hum(49.97, amplitudes, 3e-5, 7);
    const whistle = hum(hz, [amplitude], 0);
    const heard = samples.map((x, n) => x + whistle[n]);
    const lines = fitted(heard, 50, 0.5, 40);
    expect(Math.abs(lines.frequencyHz - 49.97)).toBeLessThan(0.002);
    // the whistle stays where it was
    let left = 0;
    heard.forEach((x, n) => {
      left += 2 * x * Math.sin((2 * Math.PI * hz * n) / rate);
    });
    const there = whistle.reduce(
      (sum, x, n) => sum + 2 * x * Math.sin((2 * Math.PI * hz * n) / rate),
      0,
    );
    expect(left / there).toBeGreaterThan(0.99);
    expect(left / there).toBeLessThan(1.01);
  });

  it.each([1, 2, 3, 4])(
    "keeps weak lines where a tone beside another multiple is as weak (%i)",
    (seed) => {
      // closed form: the third to fifth of 49.97 Hz; 101 Hz is the second of 50.5 Hz
      const tone = hum(101, [5e-6], 0);
      const heard = hum(49.97, [0, 0, 2e-6, 2e-6, 2e-6], 1e-5, seed).map((x, n) => x + tone[n]);
      const lines = fitted(heard, 50, 0.5, 40);
      expect(Math.abs(lines.frequencyHz - 49.97)).toBeLessThan(4 * lines.deviationHz);
    },
  );

  it("says what lines may have that are not seen", () => {
    // closed form: a line of half the deviation of an amplitude hides; the bound exceeds all that was put in
    const noiseRms = 1e-3;
    const density = (2 * noiseRms ** 2) / rate;
    for (let seed = 1; seed <= 6; seed++) {
      const a = Math.sqrt(density / seconds);
      const search = extractHarmonicLines(
        hum(50.1, [a, a, 0, a], noiseRms, seed),
        rate,
        50,
        0.5,
        40,
      );
      if (search.lines) throw new Error("a line stands out");
      const bound = search.hidden(() => true);
      expect(bound).toBeGreaterThan(3 * a * a);
      expect(bound).toBeLessThan((200 * density) / seconds);
      expect(search.hidden((order) => order % 2 === 0)).toBeLessThan(bound);
    }
  });

  it("leaves the noise and nothing of the lines, those above the count included", () => {
    const upTo100 = Array.from({ length: 100 }, (_, k) => 1e-3 / (1 + k / 20));
    const samples = hum(49.93, upTo100, 1e-6);
    const lines = fitted(samples, 50, 0.5, 40);
    expect(lines.higher.map(({ order }) => order).slice(0, 60)).toEqual(
      Array.from({ length: 60 }, (_, k) => 41 + k),
    );
    expect(lines.amplitudes).toHaveLength(40);
    expect(lines.variances).toHaveLength(40);
    // closed form: σ, less the share of 448 lines that were fitted, 1/T each, in 24 kHz
    const left = rms(samples);
    expect(left).toBeLessThan(1.01e-6);
    expect(left).toBeGreaterThan(0.98e-6);
  });
});
