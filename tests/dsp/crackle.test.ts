import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { computePeakQuantile, findCrackle } from "../../src/dsp/crackle.js";
import { gaussian } from "../helpers/noise.js";
import { makeSamples } from "../helpers/samples.js";

// How four second-order Butterworth high-passes at 4 kHz answer an impulse: scipy.signal;
// tests/reference/scipy/biquad.py made the file.
const scipy: { cornerHz: number; rateHz: number; peak: number; at: number; noiseGain: number }[] =
  JSON.parse(
    readFileSync(new URL("../reference/scipy/biquad.json", import.meta.url), "utf8"),
  ).impulses.filter(({ cornerHz }: { cornerHz: number }) => cornerHz === 4000);

function noise(rate: number, seconds: number, rms: (atS: number) => number, seed = 1) {
  const next = gaussian(seed);
  return makeSamples(seconds * rate, (n) => rms(n / rate) * next());
}

describe("findCrackle", () => {
  it.each(scipy)(
    "finds a spike at $rateHz Hz where it is and as high as the filter leaves it",
    ({ rateHz, peak, at, noiseGain }) => {
      const samples = noise(rateHz, 1, () => 1e-5);
      const spikes = [0.2, 0.5, 0.8].map((s) => Math.round(s * rateHz));
      for (const n of spikes) samples[n] += 0.01;
      const found = findCrackle(samples, rateHz, 1e-3);
      expect(found.map((one) => one.at)).toEqual(spikes.map((n) => n + at));
      for (const one of found) {
        expect(Math.abs(one.peak - 0.01 * peak)).toBeLessThan(5 * 1e-5 * noiseGain);
      }
    },
  );

  it("hears a spike under a tone a thousand times as large", () => {
    const rate = 48_000;
    const samples = noise(rate, 1, () => 1e-5);
    for (let n = 0; n < rate; n++) samples[n] += Math.sin((2 * Math.PI * 1000 * n) / rate);
    samples[30_000] += 1e-3;
    expect(findCrackle(samples, rate, 1e-4).map(({ at }) => at)).toEqual([30_001]);
  });

  it("finds none in noise, steady, rising or in a step", () => {
    // 4 times the median of a block's peak is ten standard deviations
    const rate = 48_000;
    expect(
      findCrackle(
        noise(rate, 10, () => 1e-3),
        rate,
        0,
      ),
    ).toEqual([]);
    expect(
      findCrackle(
        noise(rate, 2, (s) => 10 ** (2 * s - 5)),
        rate,
        0,
      ),
    ).toEqual([]);
    expect(
      findCrackle(
        noise(rate, 2, (s) => (s < 1 ? 1e-5 : 1e-3)),
        rate,
        0,
      ),
    ).toEqual([]);
    expect(
      findCrackle(
        noise(rate, 2, (s) => (s < 1 ? 1e-3 : 1e-5)),
        rate,
        0,
      ),
    ).toEqual([]);
  });

  it("finds none below the peak asked for, and none in silence", () => {
    const rate = 48_000;
    const samples = noise(rate, 1, () => 1e-5);
    samples[20_000] += 0.01;
    expect(findCrackle(samples, rate, 0.006)).toHaveLength(1);
    expect(findCrackle(samples, rate, 0.007)).toHaveLength(0);
    expect(findCrackle(new Float64Array(rate), rate, 0)).toEqual([]);
    expect(findCrackle(new Float64Array(0), rate, 0)).toEqual([]);
  });
});

describe("computePeakQuantile", () => {
  const rate = 48_000;
  const scale = 0.01 * (scipy.find(({ rateHz }) => rateHz === rate)?.peak ?? Number.NaN);

  it("is the block peak that a share of the blocks exceeds", () => {
    // a spike in 3 of 10 blocks of 2 ms, right behind the 10 ms in which the filter settles
    const samples = noise(rate, 1, () => 1e-6);
    for (let block = 5; block < 500; block++) {
      if ((block - 5) % 10 < 3) samples[96 * block + 40] += 0.01;
    }
    expect(computePeakQuantile(samples, rate, 0.25) / scale).toBeCloseTo(1, 2);
    expect(computePeakQuantile(samples, rate, 0.35)).toBeLessThan(1e-5);
    expect(computePeakQuantile(samples, rate, 0) / scale).toBeCloseTo(1, 2);
    expect(computePeakQuantile(samples, rate, 1)).toBeLessThan(1e-5);
  });

  it("of noise is its typical block peak", () => {
    // The median of the largest of 96 independent normal magnitudes, Φ⁻¹((1 + 2^(−1/96))/2) = 2.69;
    // the filter passes noise with a gain of its own, and leaves neighbours a little alike.
    const typical = computePeakQuantile(
      noise(rate, 4, () => 1),
      rate,
      0.5,
    );
    const gain = scipy.find(({ rateHz }) => rateHz === rate)?.noiseGain ?? Number.NaN;
    expect(Math.abs(typical / gain / 2.69 - 1)).toBeLessThan(0.03);
  });

  it("is nothing where there is no whole block", () => {
    expect(computePeakQuantile(new Float64Array(100), rate, 0.5)).toBe(0);
  });
});
