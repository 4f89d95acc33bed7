import { describe, expect, it } from "vitest";
import { computeEqualShare } from "../../../src/measure/integrity/equal-share.js";
import { findHeldSpans } from "../../../src/measure/integrity/held-spans.js";
import type { ReturnAudio } from "../../../src/measure/return-audio.js";
import { gaussian } from "../../helpers/noise.js";

// Expected: the stretches that are held here at one value, sample by sample; what a path makes flat by
// itself is told from them by the sentences of each test. Bounds are tried at them and one beside.

const rate = 48_000;
/** Half a second of silence, one of a tone, and half a second of nothing known. */
const table = {
  profile: "quick",
  lengthS: 2,
  nominalDbfs: -18,
  segments: [
    { kind: "silence", name: "silence", startS: 0, lengthS: 0.5 },
    { kind: "tone", name: "tone-1k", startS: 0.5, lengthS: 1, frequencyHz: 1000 },
    { kind: "silence", name: "end", startS: 1.5, lengthS: 0.5 },
  ],
};
const audioOf = (samples: Float64Array): ReturnAudio =>
  ({ samples, origin: 0, clock: rate, sampleRate: rate, table, mainsHz: 50 }) as never;

interface Hold {
  readonly at: number;
  readonly length: number;
}

interface Wave {
  readonly peak?: number;
  readonly noise?: number;
  readonly hz?: number;
}

const waves = new Map<string, Float64Array>();
/** A tone of 48 samples a period, and noise; a phase of 0 at sample 0. */
function waveOf({ peak = 0.5, noise = 0, hz = 1000 }: Wave): Float64Array {
  const key = [peak, noise, hz].join();
  const known = waves.get(key);
  if (known) return known.slice();
  const next = gaussian(3);
  const made = new Float64Array(2 * rate);
  for (let n = 0; n < made.length; n++) {
    const plays = n >= 0.5 * rate && n < 1.5 * rate && peak > 0;
    if (plays) made[n] = peak * Math.sin((2 * Math.PI * hz * n) / rate);
    if (noise > 0) made[n] += noise * next();
  }
  waves.set(key, made);
  return made.slice();
}

function played(holds: readonly Hold[], wave: Wave = {}) {
  const samples = waveOf(wave);
  for (const { at, length } of holds) samples.fill(samples[at], at, at + length);
  return samples;
}
const spans = (...own: Parameters<typeof played>) =>
  findHeldSpans(audioOf(played(...own))).map(({ begin, end }) => ({
    at: begin,
    length: end - begin,
  }));

/** At 30° of a period, where the sine is at half of its peak; in the middle of the tone. */
const at30 = rate + 4;

describe("a tone without noise", () => {
  it("holds nothing by itself", () => {
    expect(spans([])).toEqual([]);
  });

  it("was held where a value beside its middle and its top stands for 16 samples", () => {
    const one = { at: at30, length: 16 };
    expect(spans([one])).toEqual([one]);
    expect(spans([{ at: at30, length: 15 }])).toEqual([]);
    const two = [one, { at: at30 + 4800, length: 30 }];
    expect(spans(two)).toEqual(two);
    // The lower half-wave as well: 210°.
    const below = { at: at30 + 24, length: 20 };
    expect(spans([below])).toEqual([below]);
  });

  it("may be flat at its top or its middle by what the path does, for less than a period", () => {
    // From one crossing to the next, and 68° to 128° of 500 Hz: it goes on much as it would have.
    const gap = { at: rate, length: 24 };
    const top = { at: rate + 18, length: 16 };
    expect(spans([gap])).toEqual([]);
    expect(spans([top], { hz: 500 })).toEqual([]);
    // A step at its end six times as high as the steepest of the wave is none of a path's: held from a
    // crossing for 17 of 48 samples sin 127.5°/(2·sin 3.75°) = 6.07 times, for 18 5.41 times.
    expect([17, 18].map((length) => spans([{ at: rate, length }]).length)).toEqual([1, 0]);
    for (const at of [rate + 10, rate]) {
      const whole = { at, length: 48 };
      expect(spans([whole]), `${at}`).toEqual([whole]);
    }
  });

  it("is held by the converter at full scale", () => {
    const samples = played([]);
    samples.fill(1, at30, at30 + 100);
    expect(findHeldSpans(audioOf(samples))).toEqual([]);
    samples.fill(-1, at30, at30 + 100);
    expect(findHeldSpans(audioOf(samples))).toEqual([]);
  });

  it("is told only where it plays on both sides, within its flanks", () => {
    const hold = (at: number) => spans([{ at, length: 20 }]).length;
    // 30 ms after the tone begins, and 15 ms before it ends; whole periods of 48 samples away.
    expect([0.5 * rate + 48 * 29 + 4, 0.5 * rate + 48 * 30 + 4].map(hold)).toEqual([0, 1]);
    expect([1.5 * rate - 48 * 16 + 4, 1.5 * rate - 48 * 15 + 4].map(hold)).toEqual([1, 0]);
  });

  it("is too quiet below 0.003, where a coarse word may stand still", () => {
    const one = { at: at30, length: 20 };
    expect(spans([one], { peak: 0.0029 })).toEqual([]);
    expect(spans([one], { peak: 0.0031 })).toEqual([one]);
  });

  it("has flats of its own where it takes the value more often", () => {
    // A tenth and a seventh of the period before it at the value.
    const beside = (count: number) => {
      const samples = played([{ at: at30, length: 20 }]);
      for (let k = 1; k <= count; k++) samples[at30 - 2 * k] = samples[at30];
      return findHeldSpans(audioOf(samples)).length;
    };
    expect([4, 7].map(beside)).toEqual([1, 0]);
  });
});

describe("noise that never stands still", () => {
  const noisy = { noise: 1e-4, peak: 0 };

  it("was held where 48 samples are one, whatever plays", () => {
    const one = { at: 9000, length: 48 };
    expect(spans([one], noisy)).toEqual([one]);
    expect(spans([{ at: 9000, length: 47 }], noisy)).toEqual([]);
  });

  it("was not where the like comes again within two periods of the mains' slowest: the path's own", () => {
    // 2 · 20 ms: 1920 samples from the end of one to the other's beginning, with room for the other.
    const pair = (apart: number, length = 60) =>
      spans(
        [
          { at: 9000, length: 60 },
          { at: 9060 + apart, length },
        ],
        noisy,
      ).length;
    expect([1800, 2000].map((apart) => pair(apart))).toEqual([0, 2]);
    // A run of a quarter of it is of its kind, 16 samples at least.
    expect([15, 16].map((length) => pair(500, length))).toEqual([1, 0]);
  });

  it("tells nothing where the silence stands still as often as not", () => {
    // Each value four times over: three in four neighbours are equal, 0.4 bits each; 60 are 25 bits.
    const samples = played([{ at: 9000, length: 60 }], noisy);
    const coarse = samples.map((_, n) => samples[4 * Math.floor(n / 4)]);
    coarse.fill(coarse[9000], 9000, 9060);
    expect(findHeldSpans(audioOf(coarse))).toEqual([]);
    coarse.fill(coarse[9000], 9000, 9000 + 160);
    expect(findHeldSpans(audioOf(coarse))).toHaveLength(1);
  });
});

describe("the share of equal neighbours", () => {
  const share = (sample: (n: number) => number) =>
    computeEqualShare(audioOf(Float64Array.from({ length: 2 * rate }, (_, n) => sample(n))));

  it("is that within runs of less than 32, of what is not held", () => {
    // Pairs: one of two is its neighbour's equal; one is added, so that it is never none.
    expect(share((n) => Math.floor(n / 2))).toBeCloseTo(0.5, 3);
    expect(share((n) => Math.floor(n / 4))).toBeCloseTo(0.75, 3);
    expect(share((n) => n)).toBeLessThan(1e-3);
    expect(share((n) => n)).toBeGreaterThan(0);
    // Longer runs say nothing: of these nothing is left.
    expect(share((n) => Math.floor(n / 32))).toBe(1);
    expect(share((n) => Math.floor(n / 31))).toBeCloseTo(30 / 31, 3);
    expect(share(() => 0)).toBe(1);
  });

  it("is unknown where most of the silence stands still, or there is none", () => {
    const half = (upTo: number) => share((n) => (n < upTo ? 0 : n));
    // From 0.1 s to 0.5 s it has settled: half of that is 0.2 s.
    expect(half(0.29 * rate)).toBeLessThan(0.01);
    expect(half(0.31 * rate)).toBe(1);
    expect(computeEqualShare(audioOf(new Float64Array(10)))).toBe(1);
  });
});
