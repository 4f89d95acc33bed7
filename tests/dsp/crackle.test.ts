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

describe("blocks that are as loud as the test has them", () => {
  // A spike at the beginning of each block of 2 ms. The filter's answer has died away long before the
  // next, so that a block's peak is that of its spike: the filter's own largest answer times the height.
  const rate = 48_000;
  const size = 96;
  const own = scipy.find(({ rateHz }) => rateHz === rate) ?? scipy[0];
  const heard = (heights: readonly number[], leastPeak = 0) => {
    // The first block begins 10 ms in.
    const samples = new Float64Array(480 + heights.length * size);
    heights.forEach((height, b) => {
      samples[480 + b * size + 2] = height;
    });
    const found = findCrackle(samples, rate, leastPeak);
    return found.map(({ at, peak }) => {
      const block = (at - 480 - 2 - own.at) / size;
      expect(peak / (heights[block] * own.peak)).toBeCloseTo(1, 3);
      return block;
    });
  };
  const many = (count: number, height: number) => new Array<number>(count).fill(height);

  it.each([
    ["4.1 times those around", [...many(15, 1), 4.1, ...many(15, 1)], [15]],
    ["3.9 times those around", [...many(15, 1), 3.9, ...many(15, 1)], []],
    // of twelve the fifth smallest is the two-fifths quantile: index 0.4·11, rounded down
    ["among five quiet of twelve before", [...many(5, 1), ...many(7, 9), 20, ...many(15, 1)], [12]],
    ["among four quiet of twelve before", [...many(4, 1), ...many(8, 9), 20, ...many(15, 1)], []],
    ["before five quiet of twelve", [...many(15, 1), 20, ...many(7, 9), ...many(5, 1)], [15]],
    ["before four quiet of twelve", [...many(15, 1), 20, ...many(8, 9), ...many(4, 1)], []],
    // the thirteenth is too far away to be of the side
    ["where the fifth quiet is the 13th", [1, 1, ...many(8, 9), 1, 1, 1, 20, ...many(15, 1)], []],
    ["where the louder side is before", [...many(12, 9), 20, ...many(15, 1)], []],
    ["where the louder side is behind", [...many(15, 1), 20, ...many(12, 9)], []],
    // fewer than six blocks are no side
    ["behind five loud ones at the beginning", [...many(5, 9), 20, ...many(15, 1)], [5]],
    ["behind six loud ones at the beginning", [...many(6, 9), 20, ...many(15, 1)], []],
    ["before five loud ones at the end", [...many(15, 1), 20, ...many(5, 9)], [15]],
    ["before six loud ones at the end", [...many(15, 1), 20, ...many(6, 9)], []],
    // of six the third smallest: index 0.4·5
    ["behind six of which three are quiet", [9, 9, 9, 1, 1, 1, 20, ...many(15, 1)], [6]],
    ["behind six of which two are quiet", [9, 9, 9, 9, 1, 1, 20, ...many(15, 1)], []],
  ])("are crackle or not: one %s", (_, heights, expected) => {
    // The quiet ones beside loud ones may stand out no more than they do: only the one of 3.9 to 20 counts.
    expect(heard(heights, 3.5 * own.peak).filter((b) => heights[b] !== 9)).toEqual(expected);
  });

  it("are none beside nothing at all: silence before, the end behind", () => {
    expect(heard([...many(15, 0), 5, ...many(4, 0)])).toEqual([]);
  });

  it("count when they are as loud as the least asked for", () => {
    const samples = new Float64Array(480 + 31 * size);
    for (let b = 0; b < 31; b++) samples[480 + b * size + 2] = b === 15 ? 5 : 1;
    const [{ peak }] = findCrackle(samples, rate, 0);
    expect(findCrackle(samples, rate, peak)).toHaveLength(1);
    expect(findCrackle(samples, rate, peak * (1 + 1e-12))).toHaveLength(0);
  });

  it("have the peak that a share of them exceeds", () => {
    // eleven blocks of 1 to 11 in disorder: a tenth of the way down from the loudest each time
    const heights = [7, 3, 11, 1, 9, 5, 2, 10, 4, 8, 6];
    const samples = new Float64Array(480 + heights.length * size);
    heights.forEach((height, b) => {
      samples[480 + b * size + 2] = height;
    });
    for (const [share, height] of [
      [0, 11],
      [0.25, 8],
      [0.5, 6],
      [0.75, 3],
      [1, 1],
    ]) {
      expect(computePeakQuantile(samples, rate, share) / own.peak).toBeCloseTo(height, 2);
    }
    expect(computePeakQuantile(new Float64Array(480), rate, 0.5)).toBe(0);
  });
});
