import { describe, expect, it } from "vitest";
import {
  computeWindowedAmplitude,
  fitHarmonics,
  fitTone,
  fitToneAt,
} from "../../src/dsp/sine-fit.js";
import { gaussian } from "../helpers/noise.js";
import { makeSamples } from "../helpers/samples.js";

const db = (ratio: number) => 20 * Math.log10(ratio);

/** Σ aₖ·cos(k(ωn+φ)) */
function tone(length: number, frequency: number, phase: number, amplitudes: number[], offset = 0) {
  return makeSamples(length, (n) =>
    amplitudes.reduce(
      (sum, a, k) => sum + a * Math.cos((k + 1) * (2 * Math.PI * frequency * n + phase)),
      offset,
    ),
  );
}

describe("fitTone", () => {
  it("reads the level of a tone of any frequency and phase within 0.001 dB", () => {
    // closed form: the amplitude put in
    const next = gaussian(1);
    for (let k = 0; k < 60; k++) {
      const frequency = 0.0005 * 10 ** ((k / 60) * 2.95);
      const phase = next();
      const length = 12_000 + k * 37;
      const truth = frequency + (0.45 * Math.sin(k)) / length;
      const fit = fitTone(tone(length, truth, phase, [0.126], 0.003), frequency, 1);
      expect(Math.abs(db(fit.amplitudes[0] / 0.126))).toBeLessThan(0.001);
      expect(fit.frequency / truth).toBeCloseTo(1, 7);
      expect(fit.offset).toBeCloseTo(0.003, 6);
    }
  });

  it("finds the harmonics of Chebyshev polynomials down to −110 dB within 0.1 dB", () => {
    // closed form: T_n(cos θ) = cos nθ, so Σ aₙTₙ(cos θ) has exactly the harmonics aₙ
    const wanted = [1, -40, -110, -60, -110, -80, -110, -90, -100, -110].map((v, k) =>
      k === 0 ? 0.5 : 0.5 * 10 ** (v / 20),
    );
    const x = tone(30_000, 1000.123 / 48_000, 0.7, [1]);
    const y = x.map((c) => {
      let t0 = 1;
      let t1 = c;
      let sum = wanted[0] * t1;
      for (let n = 1; n < wanted.length; n++) {
        [t0, t1] = [t1, 2 * c * t1 - t0];
        sum += wanted[n] * t1;
      }
      return sum;
    });
    const fit = fitTone(y, 1000 / 48_000, 10);
    wanted.forEach((a, k) => {
      expect(Math.abs(db(fit.amplitudes[k] / a)), `harmonic ${k + 1}`).toBeLessThan(0.1);
    });
  });

  it("leaves less than −180 dB of a pure tone", () => {
    const fit = fitTone(tone(48_000, 997.3 / 48_000, 0.3, [0.126]), 997 / 48_000, 10);
    const rms = Math.sqrt(fit.residual.reduce((s, r) => s + r * r, 0) / fit.residual.length);
    expect(db(rms / (0.126 * Math.SQRT1_2))).toBeLessThan(-180);
  });

  it.each([4803, 4802, 4801, 4800, 4799])(
    "leaves nothing of an offset and ten harmonics in %i samples",
    (length) => {
      // closed form: the model holds all that was put in; what is left is rounding's
      const amplitudes = Array.from({ length: 10 }, (_, k) => 0.1 / (1 + k));
      const { residual } = fitToneAt(tone(length, 0.0211, 0.3, amplitudes, 0.02), 0.0211, 10);
      for (const rest of residual) expect(Math.abs(rest)).toBeLessThan(1e-12);
    },
  );

  it("scatters in noise as the Cramér–Rao bound says, var(a) = 2σ²/N (Kay 1993)", () => {
    const length = 4800;
    const sigma = 0.01;
    const next = gaussian(9);
    let squares = 0;
    const runs = 300;
    for (let k = 0; k < runs; k++) {
      const y = tone(length, 0.0211, 0.1 * k, [0.2]).map((v) => v + sigma * next());
      squares += (fitTone(y, 0.0211, 1).amplitudes[0] - 0.2) ** 2;
    }
    const ratio = squares / runs / ((2 * sigma * sigma) / length);
    // chi-square with 300 degrees of freedom: 99.9 % between 0.75 and 1.28
    expect(ratio).toBeGreaterThan(0.75);
    expect(ratio).toBeLessThan(1.28);
  });

  it("reads a tone of known frequency whose guess would stray in noise", () => {
    const length = 4800;
    const next = gaussian(3);
    const y = tone(length, 0.021, 0.4, [0.001]).map((v) => v + 0.01 * next());
    const fit = fitToneAt(y, 0.021, 1);
    // six standard deviations of 2σ²/N (Kay 1993)
    expect(Math.abs(fit.amplitudes[0] - 0.001)).toBeLessThan(6 * 0.01 * Math.sqrt(2 / length));
    expect(fit.frequency).toBe(0.021);
  });

  it("keeps hum ten times stronger out of a windowed amplitude, to 0.001 dB", () => {
    // closed form: the amplitude put in
    const hum = tone(5040, 50.03 / 48_000, 0.9, [0.01]);
    const y = tone(5040, 1000 / 48_000, 0.3, [0.001]).map((v, n) => v + hum[n]);
    expect(Math.abs(db(computeWindowedAmplitude(y, 1000 / 48_000) / 0.001))).toBeLessThan(0.001);
  });

  it.each([300, 401, 1250])("reads a windowed amplitude as defined, in %i samples", (length) => {
    // Definition: 4/N·|Σ w·x·exp(−iωn)| with the Hann window w = ½ − ½·cos(2π(n + ½)/N).
    const y = tone(length, 0.0531, 0.4, [0.3, 0.1], 0.2);
    for (const frequency of [0.0531, 0.0549]) {
      let [re, im] = [0, 0];
      y.forEach((v, n) => {
        const weight = 0.5 - 0.5 * Math.cos((2 * Math.PI * (n + 0.5)) / length);
        re += weight * v * Math.cos(2 * Math.PI * frequency * n);
        im += weight * v * Math.sin(2 * Math.PI * frequency * n);
      });
      const expected = (4 * Math.hypot(re, im)) / length;
      expect(computeWindowedAmplitude(y, frequency)).toBeCloseTo(expected, 12);
    }
  });

  it.each([
    [1200, 0.02, 0.45],
    [1201, 0.02, -0.45],
    [1206, 0.0213, 0.3],
    [90, 0.1, 0.2],
  ])(
    "finds frequency, amplitude and phase of a lone tone to rounding: %i samples",
    (length, guess, bins) => {
      // closed form: what was put in; the phase is that at the middle of the samples
      const frequency = guess + bins / length;
      const fit = fitTone(tone(length, frequency, 0.7, [0.5], 0.1), guess, 1);
      expect(fit.frequency).toBeCloseTo(frequency, 11);
      expect(fit.amplitudes[0]).toBeCloseTo(0.5, 9);
      expect(fit.offset).toBeCloseTo(0.1, 9);
      const phase = 2 * Math.PI * frequency * ((length - 1) / 2) + 0.7;
      expect(Math.cos(fit.phases[0] - phase)).toBeCloseTo(1, 12);
    },
  );

  it("gives each harmonic's phase at the middle, and leaves the samples as they were", () => {
    const y = tone(2000, 0.0107, 0.7, [0.5, 0.2, 0.1], 0.1);
    const before = y.slice();
    const fit = fitToneAt(y, 0.0107, 3);
    expect(y).toEqual(before);
    const middle = 2 * Math.PI * 0.0107 * (1999 / 2) + 0.7;
    [1, 2, 3].forEach((order, k) => {
      expect(Math.cos(fit.phases[k] - order * middle)).toBeCloseTo(1, 12);
      expect(Math.sin(fit.phases[k] - order * middle)).toBeCloseTo(0, 9);
      expect(fit.amplitudes[k]).toBeCloseTo([0.5, 0.2, 0.1][k], 12);
    });
    expect(fit.offset).toBeCloseTo(0.1, 12);
  });

  it("keeps the guess where there is no tone within half a cycle over the length", () => {
    // A tone two cycles over the length away from the guess is another one.
    const fit = fitTone(tone(4800, 0.02 + 2 / 4800, 0, [0.1]), 0.02, 1);
    expect(Math.abs(fit.frequency - 0.02) * 4800).toBeLessThan(1);
  });

  it.each([
    ["exactly three periods", 300, 0.01, true],
    ["a sample fewer", 299, 0.01, false],
    ["just below half the sample rate", 300, 0.4999, true],
    ["half the sample rate", 300, 0.5, false],
    ["more than that", 300, 0.6, false],
    ["none", 300, 0, false],
    ["a negative one", 300, -0.1, false],
    ["no number", 300, Number.NaN, false],
  ])(
    "takes samples of at least three periods, of a frequency below half the rate: %s",
    (_, length, frequency, fits) => {
      const tried = () => fitToneAt(new Float64Array(length), frequency, 1);
      if (fits) expect(tried().amplitudes[0]).toBe(0);
      else expect(tried).toThrow(RangeError);
    },
  );

  it("refuses samples too short for the frequency", () => {
    expect(() => fitTone(new Float64Array(100), 0.01, 1)).toThrow(RangeError);
  });
});

describe("fitHarmonics", () => {
  it("leaves out those at or above half the sample rate", () => {
    const count = (frequency: number) => {
      const tone = makeSamples(480, (n) => Math.cos(2 * Math.PI * frequency * n));
      return fitHarmonics(tone, frequency, 5).cosines.length;
    };
    // 2 · 0.2 lies below 0.5, and 2 · 0.25 on it.
    expect([0.05, 0.2, 0.25, 0.3].map(count)).toEqual([5, 2, 1, 1]);
  });
});
