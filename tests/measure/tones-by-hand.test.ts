import { describe, expect, it } from "vitest";
import type { HarmonicLines } from "../../src/dsp/harmonic-lines.js";
import { type AnalyzedStep, analyzeLevelSteps } from "../../src/measure/level-step-analysis.js";
import { computeLevelSteps } from "../../src/measure/level-steps.js";
import type { ReturnAudio } from "../../src/measure/return-audio.js";
import { analyzeTwoTone } from "../../src/measure/two-tone.js";
import { assertMade } from "../helpers/made.js";
import { gaussian } from "../helpers/noise.js";
import { makeSamples } from "../helpers/samples.js";

// Expected: the amplitudes that were put in. White noise of deviation σ at f samples a second has a
// density of 2σ²/f, and an amplitude fitted over T seconds a variance of density/T (S. M. Kay,
// "Fundamentals of Statistical Signal Processing: Estimation Theory", 1993, example 3.14).

const tau = 2 * Math.PI;
type Lines = Readonly<Record<number, number>>;

/** A sum of cosines of the signal's time, each hertz with its amplitude. */
const sumOf = (lines: Lines) => {
  const parts = Object.entries(lines).map(([hz, a]) => [tau * Number(hz), a]);
  return (s: number) => parts.reduce((sum, [omega, a]) => sum + a * Math.cos(omega * s), 0);
};

interface Given {
  readonly sampleRate: number;
  readonly clock?: number;
  readonly seconds: number;
  readonly noise?: number;
}

function audioOf(sound: (s: number) => number, given: Given): ReturnAudio {
  const { sampleRate, clock = sampleRate, seconds, noise = 0 } = given;
  const next = gaussian(7);
  const samples = makeSamples(
    Math.round(seconds * clock),
    (n) => sound(n / clock) + (noise > 0 ? noise * next() : 0),
  );
  const table = { profile: "quick", nominalDbfs: -18, lengthS: seconds, segments: [] };
  return { samples, origin: 0, clock, sampleRate, table, mainsHz: 50 } as never;
}

describe("two tones", () => {
  const twin = (lowHz: number, highHz: number) =>
    ({ kind: "twin", name: "twin", startS: 0.1, lengthS: 0.595, lowHz, highHz }) as never;
  const played = { 1000: 0.3, 1100: 0.2, 100: 0.01, 900: 0.02, 1200: 0.005 };
  /** Half a second is fitted: 80 ms after the beginning to 15 before the end. */
  const analyze = (lines: Lines, given: Partial<Given> = {}, mains?: HarmonicLines) =>
    analyzeTwoTone(
      audioOf(sumOf(lines), { sampleRate: 8000, seconds: 0.8, noise: 1e-7, ...given }),
      twin(1000, 1100),
      undefined,
      mains,
    );

  it("are read with the differences of second and third order, each at its frequency", () => {
    for (const clock of [8000, 8001.3]) {
      const found = analyze(played, { clock });
      assertMade(found);
      const { low, high, second, third } = found;
      const lines = [low, high, ...second, ...third];
      expect([second.length, third.length]).toEqual([1, 2]);
      lines.forEach(({ frequencyHz, amplitude }, k) => {
        const hz = [1000, 1100, 100, 900, 1200][k];
        expect(Math.abs(frequencyHz - hz)).toBeLessThan(1e-3);
        expect(amplitude).toBeCloseTo((played as Lines)[hz], 5);
      });
    }
  });

  it("are as unsure as the noise about each", () => {
    const given = { noise: 1e-3 };
    const lines: HarmonicLines = {
      frequencyHz: 50,
      deviationHz: 0,
      amplitudes: new Float64Array(40),
      variances: new Float64Array(40),
      higher: [],
    } as never;
    for (const mains of [undefined, lines]) {
      const found = analyze(played, given, mains);
      assertMade(found);
      const expected = (2 * 1e-6) / 8000 / 0.5;
      for (const { variance } of [found.low, found.high, ...found.second, ...found.third]) {
        // 14 bins of seven stretches, each like its neighbours (1.944): a deviation of 0.14; three of them.
        expect(variance / expected).toBeGreaterThan(0.58);
        expect(variance / expected).toBeLessThan(1.42);
      }
    }
  });

  it("are as unsure as a line of the mains upon them besides", () => {
    // A second line of 0.02: its power over two at 100 Hz by the recorder's clock, which is half a hertz
    // off by the player's.
    const lines: HarmonicLines = {
      frequencyHz: 50,
      deviationHz: 0,
      amplitudes: Float64Array.of(0, 0.02),
      variances: new Float64Array(2),
      higher: [],
    } as never;
    for (const [clock, cycles] of [
      [8000, 0],
      [8040, (100 - (100 * 8000) / 8040) * 0.5],
      [7920, ((100 * 8000) / 7920 - 100) * 0.5],
    ]) {
      const found = analyze(played, { clock }, lines);
      assertMade(found);
      const sinc = cycles === 0 ? 1 : Math.sin(Math.PI * cycles) / (Math.PI * cycles);
      expect(found.second[0].variance / ((0.02 ** 2 / 2) * sinc ** 2)).toBeCloseTo(1, 2);
      expect(found.low.variance).toBeLessThan(1e-9);
    }
  });

  it("are told without those that lie beyond 46 % of the rate", () => {
    const audio = audioOf(sumOf({ 3000: 0.3, 3600: 0.2, 2400: 0.01 }), {
      ...{ sampleRate: 8000, seconds: 0.8, noise: 1e-7 },
    });
    const found = analyzeTwoTone(audio, twin(3000, 3600), undefined, undefined);
    assertMade(found);
    expect(found.third.map(({ frequencyHz }) => Math.round(frequencyHz))).toEqual([2400]);
    expect(found.second.map(({ frequencyHz }) => Math.round(frequencyHz))).toEqual([600]);
    expect(analyzeTwoTone(audio, twin(3000, 3681), undefined, undefined)).toEqual({
      absent: { code: "tone-beyond-rate", hz: 3681, sampleRate: 8000 },
    });
    // Of 3680 Hz nothing is heard, but it might be.
    expect(analyzeTwoTone(audio, twin(3000, 3680), undefined, undefined)).toEqual({
      absent: { code: "no-tone", hz: 3680 },
    });
    // Twice the upper less the lower, at the very bound and beyond.
    const third = (highHz: number) => {
      const two = audioOf(sumOf({ 3000: 0.3, [highHz]: 0.2 }), {
        ...{ sampleRate: 8000, seconds: 0.8, noise: 1e-7 },
      });
      const both = analyzeTwoTone(two, twin(3000, highHz), undefined, undefined);
      assertMade(both);
      return both.third.length;
    };
    expect([third(3340), third(3345)]).toEqual([2, 1]);
  });

  it("are none where either is missing, cut off or clipped", () => {
    const noise = 1e-4;
    const absent = (code: string, hz?: number) => ({
      absent: { code, ...(hz === undefined ? {} : { hz }) },
    });
    expect(analyze({ 1000: 0.3 }, { noise })).toEqual(absent("no-tone", 1100));
    expect(analyze({ 1100: 0.3 }, { noise })).toEqual(absent("no-tone", 1000));
    expect(analyze(played, { seconds: 0.6 })).toEqual({
      absent: { code: "not-in-capture", part: "twin-tone" },
    });
    expect(analyze({ 1000: 0.9, 1100: 0.9 })).toEqual({ absent: { code: "converter-clipped" } });
    // Five deviations of a quadrature each way: 5·√2 of an amplitude's.
    const deviation = Math.sqrt((2 * 1e-4 ** 2) / 8000 / 0.5);
    expect(analyze({ 1000: 0.3, 1100: 13 * deviation }, { noise })).toHaveProperty("high");
    expect(analyze({ 1000: 0.3, 1100: 3 * deviation }, { noise })).toEqual(absent("no-tone", 1100));
  });
});

describe("level steps", () => {
  const stepS = 0.295;
  /** Three of 4 kHz, of which harmonics up to 20 kHz are read. */
  const steps = (levelsDbfs: readonly number[]) =>
    ({
      ...{ kind: "steps", name: "steps", startS: 0.1, lengthS: stepS * levelsDbfs.length },
      ...{ stepS, levelsDbfs, frequencyHz: 4000 },
    }) as never;
  const wave = sumOf({ 4000: 1, 8000: 0.1, 12000: 0.05, 16000: 0.02, 20000: 0.01 });
  const at = (s: number, count: number) =>
    Math.max(0, Math.min(count - 1, Math.floor((s - 0.1) / stepS)));
  function analyze(levelsDbfs: readonly number[], given: Partial<Given> = {}, gate = () => 1) {
    const gain = gate as (s: number) => number;
    const audio = audioOf(
      (s) => {
        const k = at(s, levelsDbfs.length);
        return gain(s - 0.1 - k * stepS) * 10 ** (levelsDbfs[k] / 20) * wave(s);
      },
      { sampleRate: 48_000, seconds: 0.1 + stepS * levelsDbfs.length + 0.01, ...given },
    );
    return analyzeLevelSteps(audio, steps(levelsDbfs), 4000, undefined);
  }

  it("are each read by their harmonics, the lowest first: three of a weak one, all of others", () => {
    for (const clock of [48_000, 48_010]) {
      const found = analyze([-18, -30, -18.5, -10], { clock });
      assertMade(found);
      expect(found.converterClippedDb).toBeUndefined();
      expect(found.steps.map(({ aboveNominalDb }) => aboveNominalDb)).toEqual([-12, -0.5, 0, 8]);
      for (const { aboveNominalDb, amplitudes, phases, variances, level } of found.steps) {
        const peak = 10 ** ((aboveNominalDb - 18) / 20);
        const expected = [1, 0.1, 0.05, 0.02, 0.01].slice(0, aboveNominalDb < 0 ? 3 : 5);
        expect([phases.length, variances.length]).toEqual([expected.length, expected.length]);
        expect([...amplitudes]).toEqual(expected.map((a) => expect.closeTo(a * peak, 6)));
        expect(level.amplitude / peak).toBeCloseTo(1, 5);
        expect(level.variance).toBeLessThan(1e-12);
      }
    }
  });

  it("are left out where the converter clips, and the lowest of those is told", () => {
    // From 3 dB on two neighbours of the twelve of a period are beyond full scale.
    const found = analyze([4, -18, 3, 6]);
    assertMade(found);
    expect(found.steps.map(({ aboveNominalDb }) => aboveNominalDb)).toEqual([0]);
    expect(found.converterClippedDb).toBe(21);
    expect(analyze([-18, -18], { seconds: 0.5 })).toEqual({
      absent: { code: "not-in-capture", part: "level-steps" },
    });
  });

  it("are as unsure as noise makes them, a windowed level by half more", () => {
    const found = analyze([-30, -10], { noise: 1e-3 });
    assertMade(found);
    for (const { aboveNominalDb, variances, level } of found.steps) {
      // 0.2 s are fitted, of a weak one's level 0.25 s. 48 bins of two stretches, each like its neighbours
      // (1.944): a deviation of 0.14, of the level's twice as many bins 0.1; three of them either way.
      const density = (2 * 1e-6) / 48_000;
      for (const variance of variances) {
        expect(variance / (density / 0.2)).toBeGreaterThan(0.58);
        expect(variance / (density / 0.2)).toBeLessThan(1.42);
      }
      const seconds = aboveNominalDb < 0 ? 0.25 : 0.2;
      expect(level.variance / ((1.5 * density) / seconds)).toBeGreaterThan(0.7);
      expect(level.variance / ((1.5 * density) / seconds)).toBeLessThan(1.3);
    }
  });

  it("settle for 80 ms, of a weak one's level for 30", () => {
    const gate = ((s: number) => (s > 0.031 && s < 0.079 ? 0 : 1)) as () => number;
    const found = analyze([-30, -18], {}, gate);
    assertMade(found);
    const [weak, nominal] = found.steps;
    expect(weak.amplitudes[0] / 10 ** (-30 / 20)).toBeCloseTo(1, 5);
    expect(weak.level.amplitude / 10 ** (-30 / 20)).toBeLessThan(0.99);
    expect(nominal.level.amplitude / 10 ** (-18 / 20)).toBeCloseTo(1, 5);
  });
});

describe("the list of level steps", () => {
  interface Read {
    readonly amplitude?: number;
    readonly variance?: number;
    readonly harmonics?: readonly number[];
    readonly noise?: number;
  }
  function step(aboveNominalDb: number, given: Read = {}): AnalyzedStep {
    const peak = 0.1 * 10 ** (aboveNominalDb / 20);
    const { amplitude = peak, variance = 0, harmonics = [0.01], noise = 0 } = given;
    const amplitudes = Float64Array.of(peak, ...harmonics.map((h) => h * peak));
    return {
      aboveNominalDb,
      amplitudes,
      phases: new Float64Array(amplitudes.length),
      variances: new Float64Array(amplitudes.length).fill(noise),
      level: { amplitude, variance },
    };
  }
  const list = (steps: unknown, kinds: readonly string[] = ["tone", "steps"]) =>
    computeLevelSteps({
      audio: { table: { segments: kinds.map((kind) => ({ kind })) } },
      ladder: () => (Array.isArray(steps) ? { steps } : steps),
    } as never);

  it("holds each gain against that at nominal, as sure as both are", () => {
    // A hundredth of an amplitude is 0.0869 dB; two deviations of both, and 0.0005 dB.
    const peak = 0.1 * 10 ** (12 / 20);
    const found = list([
      step(0, { variance: (0.01 * 0.1) ** 2 }),
      step(12, { amplitude: 0.5 * peak, variance: (0.02 * 0.5 * peak) ** 2 }),
    ]);
    const deviation = 20 * Math.LOG10E;
    // A + v/2A is read of an amplitude in noise.
    const [zero, high] = [1 - 0.01 ** 2 / 2, 1 - 0.02 ** 2 / 2];
    const [own, other] = [0.01 / zero, 0.02 / high].map((share) => deviation * share);
    expect(found).toEqual([
      {
        aboveNominalDb: 0,
        gainDb: 0,
        uncertainty: expect.closeTo(Math.hypot(5e-4, 2 * Math.hypot(own, own)), 9),
        distortionDb: expect.closeTo(-40, 9),
      },
      {
        aboveNominalDb: 12,
        gainDb: expect.closeTo(20 * Math.log10((0.5 * high) / zero), 9),
        uncertainty: expect.closeTo(Math.hypot(5e-4, 2 * Math.hypot(own, other)), 9),
        distortionDb: expect.closeTo(-40, 9),
      },
    ]);
    expect(list([step(0)])[0].uncertainty).toBeCloseTo(5e-4, 12);
  });

  it("counts the second to the tenth harmonic, where they are clear of noise", () => {
    const of = (given: Read) => list([step(0, given)])[0].distortionDb;
    const only = (order: number) =>
      Array.from({ length: 12 }, (_, k) => (k + 2 === order ? 0.1 : 0));
    expect([2, 10].map((order) => of({ harmonics: only(order) }))).toEqual([
      expect.closeTo(-20, 9),
      expect.closeTo(-20, 9),
    ]);
    expect(of({ harmonics: only(11), noise: 1e-12 })).toBeUndefined();
    // An amplitude of 1e-3 in noise of 1e-3 is not.
    expect(list([step(0, { noise: 1e-6 })])[0]).not.toHaveProperty("distortionDb");
    // Nothing at all is no figure either.
    expect(list([step(0, { harmonics: [0] })])[0]).not.toHaveProperty("distortionDb");
  });

  it("leaves out what noise hides, and is empty without a step at nominal", () => {
    // Five deviations of both quadratures.
    const hidden = { amplitude: 0.01, variance: (0.01 / 5) ** 2 };
    expect(list([step(-60, hidden), step(0)]).map((one) => one.aboveNominalDb)).toEqual([0]);
    expect(list([step(0, hidden), step(12)])).toEqual([]);
    expect(list([step(12), step(-20)])).toEqual([]);
    expect(list([])).toEqual([]);
    expect(list({ absent: { code: "not-in-capture", part: "level-steps" } })).toEqual([]);
    // Nobody asks for steps that were not played.
    expect(list(undefined, ["tone", "silence"])).toEqual([]);
  });
});
