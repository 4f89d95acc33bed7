import { describe, expect, it } from "vitest";
import { createFrequencyFilter } from "../../src/dsp/frequency-filter.js";
import { gaussian } from "../helpers/noise.js";
import { makeSamples } from "../helpers/samples.js";

const rate = 48_000;

/** A pole at a frequency, as an RC low-pass has it. */
const lowPass = (cornerHz: number) => (hz: number) => {
  const x = hz / cornerHz;
  return { re: 1 / (1 + x * x), im: -x / (1 + x * x) };
};

/** Delay by whole samples and gain. */
const delay = (samples: number, gain: number) => (hz: number) => {
  const turn = (2 * Math.PI * hz * samples) / rate;
  return { re: gain * Math.cos(turn), im: -gain * Math.sin(turn) };
};

const noise = (length: number) => makeSamples(length, gaussian(4));

describe("createFrequencyFilter", () => {
  it.each([1, 100, 739, 740, 1480, 1481, 20_000])(
    "delays %i samples by 17 and halves them, without a seam between its blocks",
    (length) => {
      // closed form: y(n) = x(n − 17)/2, silence before
      const samples = noise(length);
      const answer = createFrequencyFilter(delay(17, 0.5), rate, 1).apply(samples);
      expect(answer).toHaveLength(length);
      answer.forEach((y, n) => {
        expect(Math.abs(y - (n < 17 ? 0 : samples[n - 17] / 2))).toBeLessThan(1e-12);
      });
    },
  );

  it("advances samples just as well", () => {
    const samples = noise(5000);
    const answer = createFrequencyFilter(delay(-17, 1), rate, 1).apply(samples);
    answer.forEach((y, n) => {
      expect(Math.abs(y - (samples[n + 17] ?? 0))).toBeLessThan(1e-12);
    });
  });

  it.each([
    [1, 440],
    [1, 15_000],
    [2, 440],
    [2, 15_000],
  ])("gives a sine the response's size and angle, %i samples for one, at %i Hz", (factor, hz) => {
    // closed form of the steady answer: |H|·sin(ωt + arg H)
    const response = lowPass(3000);
    const filter = createFrequencyFilter(response, rate, factor);
    expect(filter.factor).toBe(factor);
    const tone = makeSamples(9600, (n) => Math.sin((2 * Math.PI * hz * n) / rate));
    const answer = filter.apply(tone);
    expect(answer).toHaveLength(factor * tone.length);
    const { re, im } = response(hz);
    for (let n = factor * filter.margin; n < answer.length - factor * filter.margin; n++) {
      const turn = (2 * Math.PI * hz * n) / (factor * rate);
      // what the taper takes from the answer to an impulse beyond 1.5 ms
      expect(Math.abs(answer[n] - re * Math.sin(turn) - im * Math.cos(turn))).toBeLessThan(5e-4);
    }
  });

  it("hears nothing from farther away than its margin", () => {
    const filter = createFrequencyFilter(lowPass(3000), rate, 1);
    const impulse = new Float64Array(8000);
    impulse[4000] = 1;
    filter.apply(impulse).forEach((y, n) => {
      if (Math.abs(n - 4000) > filter.margin) expect(Math.abs(y)).toBeLessThan(1e-15);
    });
    expect(filter.margin).toBe(Math.ceil(0.003 * rate));
  });

  it("fills the array that it is given, and keeps nothing from call to call", () => {
    const filter = createFrequencyFilter(lowPass(3000), rate, 1);
    const samples = noise(3000);
    const first = filter.apply(samples);
    filter.apply(noise(4321));
    const out = new Float64Array(3000).fill(Number.NaN);
    expect(filter.apply(samples, out)).toBe(out);
    expect(out).toEqual(first);
  });
});
