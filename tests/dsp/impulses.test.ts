import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { findImpulses } from "../../src/dsp/impulses.js";
import { gaussian } from "../helpers/noise.js";
import { makeSamples } from "../helpers/samples.js";
import { slow } from "../helpers/slow.js";

// How two second-order Butterworth high-passes at 2 kHz answer an impulse, and what they leave of
// white noise: scipy.signal; tests/reference/scipy/biquad.py made the file.
const scipy: { cornerHz: number; rateHz: number; peak: number; at: number; noiseGain: number }[] =
  JSON.parse(
    readFileSync(new URL("../reference/scipy/biquad.json", import.meta.url), "utf8"),
  ).impulses.filter(({ cornerHz }: { cornerHz: number }) => cornerHz === 2000);

const rate = 48_000;
/**
 * The median of the largest of 48 independent normal magnitudes, Φ⁻¹((1 + 2^(−1/48))/2): the
 * typical peak of a block of 1 ms at 48 kHz.
 */
const typical = 2.4487;

function noise(seconds: number, seed: number): Float64Array {
  const next = gaussian(seed);
  return makeSamples(seconds * rate, () => 1e-4 * next());
}

describe("findImpulses", () => {
  it("finds none in Gaussian noise: fewer than 1 in 100 returns would have one", slow, () => {
    // 300 s of noise are the silence and the tone of 100 standard returns
    const next = gaussian(3);
    const samples = new Float64Array(10 * rate);
    let found = 0;
    for (let k = 0; k < 30; k++) {
      for (let n = 0; n < samples.length; n++) samples[n] = next();
      found += findImpulses(samples, rate, 0.001).length;
    }
    expect(found).toBe(0);
  });

  it("finds each of a number of clicks where it is, and how large it is", () => {
    const samples = noise(2, 5);
    const places = [9000, 20_000, 50_000, 90_000];
    for (const n of places) samples[n] += 0.01;
    const { peak, noiseGain } = scipy.find(({ rateHz }) => rateHz === rate) ?? scipy[0];
    const found = findImpulses(samples, rate, 0.001);
    expect(found.map(({ at }) => at)).toEqual(places);
    for (const { overDb } of found) {
      const expected = 20 * Math.log10((0.01 * peak) / (typical * noiseGain * 1e-4));
      // the noise under a click is a hundredth of it, the median of 200 peaks sure to some percent
      expect(Math.abs(overDb - expected)).toBeLessThan(0.6);
    }
  });

  it("takes those closer than 5 ms for one, the strongest of them", () => {
    const samples = noise(2, 5);
    for (const [n, height] of [
      [20_000, 0.01],
      [20_100, 0.02],
      [20_200, 0.015],
      [60_000, 0.02],
      [60_100, 0.01],
      [60_241, 0.01],
    ]) {
      samples[n] += height;
    }
    const found = findImpulses(samples, rate, 0.001).map(({ at }) => at);
    expect(found).toEqual([20_100, 60_000, 60_241]);
  });

  it("holds each against its own surroundings, not against all of the samples", () => {
    // the noise rises by 10 dB a second: what is a click early on is none later
    const samples = noise(4, 6).map((x, n) => x * 10 ** (n / (2 * rate) - 0.5));
    samples[rate] += 0.002;
    samples[3 * rate] += 0.002;
    expect(findImpulses(samples, rate, 0.001).map(({ at }) => at)).toEqual([rate]);
  });

  it("takes what every period of a tone repeats for background", () => {
    // crossover-like spikes at every half-wave of 1 kHz
    const next = gaussian(7);
    const spikes = makeSamples(rate, (n) => 1e-5 * next() + (n % 24 === 3 ? 1e-3 : 0));
    expect(findImpulses(spikes, rate, 0.001)).toHaveLength(0);
  });

  it("finds a click also where there are fewer blocks than make surroundings, and at the end", () => {
    const short = noise(2, 8).subarray(0, 4800);
    short[2400] += 0.01;
    expect(findImpulses(short, rate, 0.001).map(({ at }) => at)).toEqual([2400]);
    const late = noise(2, 9);
    late[2 * rate - 100] += 0.01;
    expect(findImpulses(late, rate, 0.001).map(({ at }) => at)).toEqual([2 * rate - 100]);
  });

  it("finds none where there is nothing to compare with", () => {
    expect(findImpulses(new Float64Array(rate), rate, 0.001)).toEqual([]);
    expect(findImpulses(new Float64Array(10), rate, 0.001)).toEqual([]);
  });
});

describe("blocks that are as loud as the test has them", () => {
  // A spike near the beginning of each block of 6 ms, farther apart than impulses that count as one.
  // The filter's answer has died away before the next: a block's peak is as high as its spike, times
  // one figure for all.
  const size = 288;
  const blocks = (at: (b: number) => number, count = 400) => {
    // The first block begins 5 ms in.
    const samples = new Float64Array(240 + count * size);
    for (let b = 0; b < count; b++) samples[240 + b * size + 2] = at(b);
    return samples;
  };
  const heard = (samples: Float64Array) =>
    findImpulses(samples, rate, 0.006).map(({ at }) => (at - 242) / size);
  const range = (from: number, to: number) => Array.from({ length: to - from }, (_, k) => from + k);
  /** Blocks of 1 from one on up to another, of 10 everywhere else. */
  const quiet = (from: number, to: number) => blocks((b) => (b >= from && b < to ? 1 : 10));

  it.each([
    // Of 200 blocks the 101st smallest is the median. Blocks 0 to 99 are held against 0 to 199, 100 to
    // 199 against 50 to 249, 200 to 299 against 150 to 349, the last hundred against the last 200.
    ["0 to 100, which only the first hundred see whole", 0, 101, []],
    ["50 to 150, which the first two hundreds see", 50, 151, [...range(0, 50), ...range(151, 200)]],
    ["149 to 249, which the second sees", 149, 250, range(100, 149)],
    ["150 to 249, one too few", 150, 250, []],
    ["200 to 300, which the third and the last see", 200, 301, range(301, 400)],
    [
      "249 to 349, which the third sees, and the last",
      249,
      350,
      [...range(200, 249), ...range(350, 400)],
    ],
    ["299 to 399, which the last sees", 299, 400, []],
  ])("are held against the 200 around their hundred: quiet from %s", (_, from, to, expected) => {
    expect(heard(quiet(from, to))).toEqual(expected);
  });

  it("stand out from 2.6 times the typical one on, by how much in decibels", () => {
    const samples = blocks((b) => (b === 120 ? 2.59 : b === 130 ? 2.61 : b === 140 ? 100 : 1));
    const found = findImpulses(samples, rate, 0.006);
    expect(found.map(({ at }) => (at - 242) / size)).toEqual([130, 140]);
    expect(found[0].overDb).toBeCloseTo(20 * Math.log10(2.61), 2);
    expect(found[1].overDb).toBeCloseTo(40, 2);
  });

  it("begin when the filter has forgotten its start", () => {
    const samples = blocks(() => 1);
    samples[30] = 1000;
    expect(heard(samples)).toEqual([]);
  });
});
