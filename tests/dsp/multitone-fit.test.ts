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
