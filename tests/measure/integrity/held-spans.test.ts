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

  it("was held beside the recording's beginning and end too, with some of it on both sides", () => {
    for (const at of [10, 2 * rate - 70]) {
      expect(spans([{ at, length: 60 }], noisy)).toEqual([{ at, length: 60 }]);
    }
    // With nothing behind it, it may as well be the recording's end.
    expect(spans([{ at: 2 * rate - 60, length: 60 }], noisy)).toEqual([]);
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

describe("other parts without noise", () => {
  const small = 16_000;
  interface Part {
    readonly kind: string;
    readonly [key: string]: unknown;
  }
  /** Half a second of nothing, a part of a second, and half a second of nothing. */
  function partOf(part: Part, sound: (s: number) => number) {
    const samples = new Float64Array(2 * small);
    for (let n = 0.5 * small; n < 1.5 * small; n++) samples[n] = sound(n / small - 0.5);
    const own = {
      ...table,
      segments: [
        { kind: "silence", name: "silence", startS: 0, lengthS: 0.5 },
        { name: "part", startS: 0.5, lengthS: 1, ...part },
        { kind: "silence", name: "end", startS: 1.5, lengthS: 0.5 },
      ],
    };
    /** Lengths of what is found where so many samples are held from a time of the part on. */
    return (atS: number, length: number) => {
      const at = Math.round((0.5 + atS) * small);
      const held = samples.slice().fill(samples[at], at, at + length);
      const audio = {
        ...{ samples: held, origin: 0, clock: small, sampleRate: small },
        ...{ table: own, mainsHz: 50 },
      };
      return findHeldSpans(audio as never).map(({ begin, end }) => [begin - at, end - begin]);
    };
  }
  const whole = (length: number) => [[0, length]];
  const sine = (hz: number, s: number) => 0.3 * Math.sin(2 * Math.PI * hz * s);

  it("have two tones, of which a period is that of their difference", () => {
    const two = partOf(
      { kind: "twin", lowHz: 1000, highHz: 1100 },
      (s) => 0.5 * (sine(1000, s) + sine(1100, s)),
    );
    // A sixteenth of a period after both are in step they are at sin 22.5°, 0.38 of their top.
    expect(two(0.5 + 1 / 16_000, 16)).toEqual(whole(16));
    // A hundredth of a second is one, 160 samples, also where it stands at the middle.
    expect(two(0.5, 160)).toEqual(whole(160));
    expect(two(0.02 + 1 / 16_000, 16)).toEqual([]);
    expect(two(0.986 + 1 / 16_000, 16)).toEqual([]);
    expect(two(0.04 + 1 / 16_000, 16)).toEqual(whole(16));
  });

  it("have steps, each with its flanks", () => {
    const steps = partOf({ kind: "steps", frequencyHz: 500, stepS: 0.5, levelsDbfs: [0, 0] }, (s) =>
      sine(500, s),
    );
    // A sixteenth of a period of 2 ms: sin 22.5°, 0.38 of its top.
    const at = (s: number) => steps(s + 2 / 16_000, 16).length;
    expect([0.02, 0.25, 0.48, 0.49].map(at)).toEqual([0, 1, 1, 0]);
    expect([0.51, 0.52, 0.54, 0.98, 0.988].map(at)).toEqual([0, 0, 1, 1, 0]);
  });

  it("have a sweep, from half an octave on, where a millisecond is told", () => {
    const [fromHz, rateS, sweepS] = [100, 0.3, 0.95];
    const sweep = partOf({ kind: "sweep", fromHz, toHz: 2374, rateS, sweepS }, (s) =>
      s < sweepS ? sine(1, fromHz * rateS * Math.expm1(s / rateS)) : 0,
    );
    // 16 samples are a millisecond. A time at which it is a good way up, from 0.1 s on, half an octave.
    const rising = (fromS: number) => {
      let n = Math.ceil(fromS * small);
      const value = (k: number) => sine(1, fromHz * rateS * Math.expm1(k / small / rateS)) / 0.3;
      while (!(value(n) > 0.4 && value(n) < 0.6 && value(n + 1) > value(n))) n++;
      return n / small;
    };
    const late = rising(0.6);
    expect(sweep(late, 15)).toEqual([]);
    expect(sweep(late, 17).length).toBe(1);
    expect(sweep(rising(0.06), 40)).toEqual([]);
    expect(sweep(rising(0.15), 40).length).toBe(1);
    // 15 ms before its end it fades.
    expect(sweep(rising(0.92), 17).length).toBe(1);
    expect(sweep(rising(0.938), 17)).toEqual([]);
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
