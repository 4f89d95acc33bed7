import { describe, expect, it } from "vitest";
import { fitMultitone } from "../../src/dsp/multitone-fit.js";
import { gaussian } from "../helpers/noise.js";
import { makeSamples } from "../helpers/samples.js";

const db = (ratio: number) => 20 * Math.log10(ratio);
const rate = 48_000;
const low = 19_000.37 / rate;
const high = 19_999.81 / rate;
const differences = [
  [-1, 1],
  [2, -1],
  [-1, 2],
];

/** Two tones and the three lines that they make, with phases of their own. */
function mixture(length: number, amplitudes: readonly number[]) {
  const frequencies = [low, high, high - low, 2 * low - high, 2 * high - low];
  return makeSamples(length, (n) =>
    amplitudes.reduce(
      (sum, a, k) => sum + a * Math.cos(2 * Math.PI * frequencies[k] * n + 0.3 + k),
      0.002,
    ),
  );
}

describe("fitLines", () => {
  it("reads two tones and their difference tones at −110 dB within 0.01 dB, frequencies unknown", () => {
    // closed form: the amplitudes put in
    const wanted = [0.06, 0.05, 0.06 * 10 ** (-110 / 20), 2e-7, 3e-7];
    const fit = fitMultitone(mixture(29_000, wanted), [19_000 / rate, 20_000 / rate], differences);
    wanted.forEach((a, k) => {
      expect(Math.abs(db(fit.amplitudes[k] / a)), `line ${k}`).toBeLessThan(0.01);
    });
    expect(fit.bases[0] / low).toBeCloseTo(1, 10);
    expect(fit.bases[1] / high).toBeCloseTo(1, 10);
    expect(fit.offset).toBeCloseTo(0.002, 8);
  });

  it("leaves less than −180 dB of tones that it was told of", () => {
    const fit = fitMultitone(
      mixture(29_000, [0.06, 0.06]),
      [19e3 / rate, 20e3 / rate],
      differences,
    );
    const rms = Math.sqrt(fit.residual.reduce((s, r) => s + r * r, 0) / fit.residual.length);
    expect(db(rms / 0.06)).toBeLessThan(-180);
  });

  it("gives the phase of each line at the middle of the samples", () => {
    const length = 20_001;
    const fit = fitMultitone(mixture(length, [0.1, 0.1, 0.01]), [low, high], [[-1, 1]]);
    const expected = 2 * Math.PI * (high - low) * 10_000 + 0.3 + 2;
    expect(Math.cos(fit.phases[2] - expected)).toBeCloseTo(1, 8);
  });

  it("scatters in noise as the Cramér–Rao bound says, var(a) = 2σ²/N (Kay 1993)", () => {
    const length = 4800;
    const sigma = 0.01;
    const next = gaussian(4);
    const clean = mixture(length, [0.1, 0.1, 0.05]);
    let squares = 0;
    const runs = 300;
    for (let k = 0; k < runs; k++) {
      const noisy = clean.map((v) => v + sigma * next());
      squares += (fitMultitone(noisy, [low, high], [[-1, 1]]).amplitudes[2] - 0.05) ** 2;
    }
    const ratio = squares / runs / ((2 * sigma * sigma) / length);
    // chi-square with 300 degrees of freedom: 99.9 % between 0.75 and 1.28
    expect(ratio).toBeGreaterThan(0.75);
    expect(ratio).toBeLessThan(1.28);
  });

  it("refuses samples too few to separate the lines, and lines beyond half the sample rate", () => {
    expect(() => fitMultitone(new Float64Array(100), [0.4, 0.41], [])).toThrow(RangeError);
    expect(() => fitMultitone(new Float64Array(9000), [0.3, 0.4], [[-1, 2]])).toThrow(RangeError);
  });
});

describe("the fit of a few hundred samples", () => {
  const truth = [0.11, 0.17];
  const combinations = [
    [-1, 1],
    [2, -1],
    [-1, 2],
  ];
  const put = [
    { hz: 0.11, amplitude: 0.7, phase: 0.4 },
    { hz: 0.17, amplitude: 0.5, phase: -1.2 },
    { hz: 0.06, amplitude: 0.03, phase: 2 },
    { hz: 0.05, amplitude: 0.02, phase: -2.5 },
    { hz: 0.23, amplitude: 0.01, phase: 1.1 },
  ];
  /** An offset and lines of a phase at the middle of the samples. */
  const samplesOf = (length: number, lines: typeof put = put) =>
    makeSamples(length, (n) =>
      lines.reduce(
        (sum, { hz, amplitude, phase }) =>
          sum + amplitude * Math.cos(2 * Math.PI * hz * (n - (length - 1) / 2) + phase),
        0.25,
      ),
    );

  // 2600: half of it is longer than the 1024 samples after which phasors begin anew
  it.each([600, 601, 2600, 2601])("gives back all that was put in, %i samples", (length) => {
    const fit = fitMultitone(samplesOf(length), truth, combinations);
    // closed form: what was put in
    expect(fit.offset).toBeCloseTo(0.25, 9);
    put.forEach(({ amplitude, phase }, k) => {
      expect(fit.amplitudes[k], `line ${k}`).toBeCloseTo(amplitude, 9);
      expect(fit.phases[k], `line ${k}`).toBeCloseTo(phase, 7);
    });
    truth.forEach((hz, k) => {
      expect(fit.bases[k]).toBeCloseTo(hz, 11);
    });
    expect(fit.residual).toHaveLength(length);
    expect(Math.max(...fit.residual.map(Math.abs))).toBeLessThan(1e-8);
  });

  it.each([0.4, -0.4])("follows bases that lie %d cycles over the samples aside", (aside) => {
    const length = 1000;
    const guesses = [truth[0] + aside / length, truth[1] - aside / length];
    const fit = fitMultitone(samplesOf(length), guesses, combinations);
    truth.forEach((hz, k) => {
      expect(Math.abs(fit.bases[k] - hz) * length).toBeLessThan(1e-4);
    });
    put.forEach(({ amplitude }, k) => {
      expect(Math.abs(fit.amplitudes[k] - amplitude), `line ${k}`).toBeLessThan(1e-4);
    });
  });

  it("takes its bases in any order", () => {
    const fit = fitMultitone(samplesOf(600), [0.17, 0.11], [[1, -1]]);
    expect(fit.amplitudes[0]).toBeCloseTo(0.5, 1);
    expect(fit.amplitudes[1]).toBeCloseTo(0.7, 1);
    expect(fit.amplitudes[2]).toBeCloseTo(0.03, 1);
  });

  it("leaves in the residual what no line was asked for", () => {
    // the tone at 0.37 is 22 cycles or more away from all lines over 600 samples
    const other = { hz: 0.37, amplitude: 0.001, phase: 0.3 };
    const fit = fitMultitone(samplesOf(600, [...put, other]), truth, combinations);
    const squares = fit.residual.reduce((sum, r) => sum + r * r, 0) / 600;
    expect(Math.sqrt(2 * squares) / 0.001).toBeCloseTo(1, 1);
  });

  it("has nothing of silence, and leaves the frequencies as they were guessed", () => {
    // a whole number of cycles to either half, so that the halves differ by no phase
    const fit = fitMultitone(new Float64Array(64), [0.125, 0.25], []);
    expect(fit.bases[0]).toBeCloseTo(0.125, 12);
    expect(fit.bases[1]).toBeCloseTo(0.25, 12);
    expect(fit.offset).toBe(0);
    expect(Array.from(fit.amplitudes)).toEqual([0, 0]);
    expect(fit.residual.every((r) => r === 0)).toBe(true);
  });

  it.each([
    ["2.9 cycles apart", [0.11, 0.11 + 2.9 / 600], [], "600 samples do not tell lines at"],
    ["2.9 cycles long", [2.9 / 600, 0.2], [], "600 samples do not tell lines at"],
    ["beyond half the rate", [0.2, 0.34], [[1, 1]], "600 samples do not tell lines at"],
    ["below zero", [0.11, 0.17], [[1, -1]], "a line's frequency is below zero"],
  ])("refuses lines %s", (_, bases, others, message) => {
    const samples = samplesOf(
      600,
      bases.map((hz, k) => ({ hz, amplitude: 1, phase: k })),
    );
    expect(() => fitMultitone(samples, bases, others)).toThrow(message);
  });

  it.each([
    ["3.1 cycles apart", [0.11, 0.11 + 3.1 / 600], []],
    ["3.1 cycles long", [3.1 / 600, 0.2], []],
    ["just below half the rate", [0.2, 0.29], [[1, 1]]],
  ])("tells lines %s from one another", (_, bases, others) => {
    const samples = samplesOf(
      600,
      bases.map((hz, k) => ({ hz, amplitude: 1, phase: k })),
    );
    const { amplitudes } = fitMultitone(samples, bases, others);
    expect(amplitudes[0]).toBeCloseTo(1, 1);
    expect(amplitudes[1]).toBeCloseTo(1, 1);
  });
});
