import { describe, expect, it } from "vitest";
import {
  bendsInHalves,
  computeHotRise,
  isSmoothBend,
  keepsOrder,
  readBendLaw,
} from "../../src/diagnose/bend-law.js";
import { findBendAt1k } from "../../src/diagnose/capacitor-bend.js";
import { readHumLines } from "../../src/diagnose/hum-lines.js";
import { listBreaks, summarizeBreaks } from "../../src/diagnose/level-breaks.js";
import { findMainsComb } from "../../src/diagnose/mains-comb.js";
import {
  buildPathEvidence,
  computeHumShare,
  type Feature,
  findBrokenStep,
  findLargestCurveScore,
  findLargestDifference,
  findLevelJumps,
  findSweepBreak,
  hasFlutter,
  isBursty,
  isEvenHiss,
  isOutlier,
  isTelling,
  mostEvenBesideOdd,
  type PathEvidence,
  swallowsSmall,
} from "../../src/diagnose/path-evidence.js";
import { findStrayTone } from "../../src/diagnose/stray-tone.js";
import { buildOctaveGrid } from "../../src/dsp/octave-grid.js";
import type { ReadingId } from "../../src/measure/reading-kinds.js";
import { readingKinds } from "../../src/measure/reading-kinds.js";
import type { Reading } from "../../src/measure/types.js";
import type { FamilyStats } from "../../src/rank/family-stats.js";
import { assumedResponseStdDevDb, grantLowResponse } from "../../src/rank/responses.js";
import { scoreSiblingDeviation } from "../../src/rank/robust-stats.js";
import type { Finding } from "../../src/rank/types.js";
import { measurement, reading } from "../helpers/families.js";
import { type Deviations, evidence, feature } from "../helpers/path-evidence.js";

// Bounds are those that the program's comments state, each tried at it and just beside it; what is
// computed is worked out by hand from the definition beside it.

const dbfs = (value: number, more: Partial<Reading> = {}) => ({
  ...reading(value, "dBFS", 0.1),
  ...more,
});
const usualOf = (medians: Deviations, more: Partial<FamilyStats> = {}): FamilyStats => ({
  count: 9,
  readings: Object.fromEntries(
    Object.entries(medians).map(([id, median]) => [id, { count: 9, median, scale: 0.1 }]),
  ),
  curves: {},
  excess: 1,
  ...more,
});
const x = buildOctaveGrid(24, 20, 20_000);
const curve = (
  db: (hz: number, i: number) => number,
  uncertainty: (i: number) => number = () => 0.001,
  at: readonly number[] = x,
) => ({
  x: at,
  y: at.map(db),
  spread: at.map(() => 0.2),
  uncertainty: at.map((_, i) => uncertainty(i)),
});
const withCurve = (...own: Parameters<typeof curve>) => evidence({}, { response: curve(...own) });
const step = (
  aboveNominalDb: number,
  gainDb: number,
  distortionDb?: number,
  uncertainty = 0.01,
) => ({
  aboveNominalDb,
  gainDb,
  uncertainty,
  ...(distortionDb === undefined ? {} : { distortionDb }),
});
const withSteps = (...steps: readonly ReturnType<typeof step>[]) => ({
  measurement: { ...measurement({}), steps },
});

describe("a reading", () => {
  it("stands clear beyond three and a half spreads, on its own side", () => {
    const at = (deviation: number, side: "up" | "down") =>
      isOutlier({ features: new Map([["gain", feature(deviation, 2)]]) }, "gain", side);
    expect([7, 7.1, -7.1].map((db) => at(db, "up"))).toEqual([false, true, false]);
    expect([-7, -7.1, 7.1].map((db) => at(db, "down"))).toEqual([false, true, false]);
    expect(isOutlier({ features: new Map() }, "gain", "up")).toBe(false);
  });

  it("tells nothing where it is a bound and so are its siblings'", () => {
    const of = (own: Partial<Reading>, bounded: readonly string[]) =>
      isTelling(
        evidence(
          { hum: 3 },
          {
            measurement: measurement({ hum: dbfs(-100, own) }),
            usual: usualOf({ hum: -103 }, { bounded: new Set(bounded) as never }),
          },
        ),
        "hum",
      );
    const bound = { bound: "at-most" } as unknown as Partial<Reading>;
    expect([of({}, ["hum"]), of(bound, []), of(bound, ["hum"])]).toEqual([true, true, false]);
    expect(isTelling(evidence({ hum: 3 }), "hum")).toBe(false);
    expect(isTelling(evidence({}, { measurement: measurement({ hum: dbfs(-90) }) }), "hum")).toBe(
      false,
    );
  });
});

describe("a level that flutters", () => {
  const flutters = (value: number, median: number, scale = 0, more: Partial<Reading> = {}) =>
    hasFlutter(
      evidence(
        {},
        {
          measurement: measurement({ instability: { ...reading(value, "dB", 0.002), ...more } }),
          usual: {
            ...usualOf({}),
            readings: { instability: { count: 9, median, scale } },
          } as FamilyStats,
        },
      ),
    );

  it("does so by more than 0.01 dB and five times the siblings', its own uncertainty off", () => {
    expect([0.012, 0.0121].map((db) => flutters(db, 0.001))).toEqual([false, true]);
    expect([0.022, 0.0221].map((db) => flutters(db, 0.004))).toEqual([false, true]);
    expect([0.022, 0.0221].map((db) => flutters(db, 0.001, 0.004))).toEqual([false, true]);
  });

  it("is not told by a bound, nor without a reading or siblings", () => {
    expect(flutters(1, 0.001, 0, { bound: "at-most" } as unknown as Partial<Reading>)).toBe(false);
    expect(hasFlutter(evidence({}))).toBe(false);
    const own = { measurement: measurement({ instability: reading(1) }) };
    expect(hasFlutter(evidence({}, own))).toBe(false);
    expect(hasFlutter(evidence({}, { usual: usualOf({ instability: 0 }) }))).toBe(false);
  });
});

it("small signals are swallowed by more than 1 dB, clear of the siblings", () => {
  const at = (deviation: number, spread: number) =>
    swallowsSmall({ features: new Map([["linearity", feature(deviation, spread)]]) });
  expect([at(-1, 0.1), at(-1.1, 0.1), at(-1.1, 0.32), at(1.1, 0.1)]).toEqual([
    false,
    true,
    false,
    false,
  ]);
});

describe("noise", () => {
  const of = (own: Readonly<Partial<Record<ReadingId, Feature>>>) => ({
    features: new Map(Object.entries(own) as [ReadingId, Feature][]),
  });

  it("is bursty by more than 0.6 dB of kurtosis, clear of the siblings", () => {
    const at = (deviation: number, spread: number) =>
      isBursty(of({ burstiness: feature(deviation, spread) }));
    expect([at(0.6, 0.1), at(0.61, 0.1), at(0.61, 0.2), at(-9, 0.1)]).toEqual([
      false,
      true,
      false,
      false,
    ]);
  });

  it("is even hiss where it is up by more than 4 dB, falls little and hum is no part of it", () => {
    const even = (own: Readonly<Partial<Record<ReadingId, Feature>>> = {}) =>
      isEvenHiss(of({ hiss: feature(5), noiseSlope: feature(0), ...own }));
    expect(even()).toBe(true);
    expect([4, 4.1].map((db) => even({ hiss: feature(db) }))).toEqual([false, true]);
    expect(even({ hiss: feature(5, 2) })).toBe(false);
    expect([-0.5, -0.4].map((slope) => even({ noiseSlope: feature(slope) }))).toEqual([
      false,
      true,
    ]);
    expect([5.9, 6].map((db) => even({ humOdd: feature(db) }))).toEqual([true, false]);
    expect([5.9, 6].map((db) => even({ hum: feature(db) }))).toEqual([true, false]);
    // Odd lines, where they were read, and not all lines together.
    expect(even({ humOdd: feature(0), hum: feature(20) })).toBe(true);
    expect(even({ burstiness: feature(9) })).toBe(false);
    expect(isEvenHiss(of({ hiss: feature(5) }))).toBe(false);
    expect(isEvenHiss(of({ noiseSlope: feature(0) }))).toBe(false);
  });

  it("is hum by the ratio of the powers, all of it at most", () => {
    const share = (hum: number) =>
      computeHumShare(
        evidence({}, { measurement: measurement({ hum: dbfs(hum), noise: dbfs(-80) }) }),
      );
    expect(share(-83.0103)).toBeCloseTo(0.5, 6);
    expect(share(-70)).toBe(1);
  });
});

describe("the lines of the mains", () => {
  it("have even ones up to 10 dB above the odd, or what they stand above those", () => {
    const most = (deviations: Deviations, readings: Parameters<typeof measurement>[0] = {}) =>
      mostEvenBesideOdd(evidence(deviations, { measurement: measurement(readings) }));
    expect(most({ humEven: 30 })).toBe(Number.POSITIVE_INFINITY);
    expect(most({ humOdd: 5 })).toBe(15);
    expect(most({ humOdd: -5 })).toBe(10);
    const both = (odd: number, even: number, more: Partial<Reading> = {}) => ({
      humOdd: dbfs(odd),
      humEven: dbfs(even, more),
    });
    // Even lines up by 8 dB that stand 3 dB above the odd leave 5; beneath them all 8; 12 dB above none.
    expect(most({ humOdd: 5, humEven: 8 }, both(-90, -87))).toBe(5);
    expect(most({ humOdd: 5, humEven: 8 }, both(-90, -95))).toBe(8);
    expect(most({ humOdd: 5, humEven: 8 }, both(-90, -78))).toBe(0);
    expect(most({ humOdd: 5, humEven: 30 }, both(-90, -95))).toBe(15);
    const bound = { bound: "at-most" } as unknown as Partial<Reading>;
    expect(most({ humOdd: 5, humEven: 8 }, both(-90, -87, bound))).toBe(15);
  });

  const loud = { hum: dbfs(-80), noise: dbfs(-79.9) };
  const lines = (deviations: Deviations, readings: Parameters<typeof measurement>[0] = loud) =>
    readHumLines(evidence(deviations, { measurement: measurement(readings) }));

  it("are read by odd ones, or all; even ones as the siblings' where not told apart", () => {
    expect(lines({})).toBeUndefined();
    expect(lines({ hum: 3 })).toMatchObject({ oddDb: 3, evenDb: -1, isClear: false });
    expect(lines({ hum: 4, humEven: 2 })).toMatchObject({ oddDb: 4, evenDb: 2, isClear: true });
    expect(lines({ hum: 1, humOdd: 9 })).toMatchObject({ oddDb: 9, isClear: true });
  });

  it("are most of the noise by more than half of its power, where that is up", () => {
    const half = { hum: dbfs(-83.02), noise: dbfs(-80) };
    const more = { hum: dbfs(-83), noise: dbfs(-80) };
    expect(lines({ humOdd: 3, noise: 9 }, half)?.isMostNoise).toBe(false);
    expect(lines({ humOdd: 3, noise: 9 }, more)?.isMostNoise).toBe(true);
    expect(lines({ humOdd: 3, noise: 3 }, more)?.isMostNoise).toBe(false);
  });

  it("are heard by weighted noise where hiss is still and even lines are not up as far", () => {
    const heard = (more: Deviations, readings = loud) =>
      lines({ humOdd: 3, noiseA: 9, ...more }, readings)?.isWeighted;
    expect(heard({})).toBe(true);
    expect(heard({ hiss: 9 })).toBe(false);
    expect(heard({ noiseA: 3 })).toBe(false);
    expect([2.9, 3].map((humEven) => heard({ humEven }))).toEqual([true, false]);
    expect(heard({ humOdd: 0, humEven: -3 })).toBe(false);
    expect(heard({}, { hum: dbfs(-90), noise: dbfs(-80) })).toBe(false);
  });

  it("are a comb where six in ten past the ninth stand out by 4 dB", () => {
    // Twenty lines from 50 Hz on: odd ones past the ninth are 9, 11, 13, 15, 17 and 19, even ones from 10.
    const at = Array.from({ length: 20 }, (_, k) => 50 * (k + 1));
    const points = at.map(() => ({ count: 9, median: -130, scale: 1 }));
    const comb = (up: Readonly<Record<number, number>>, kind: "odd" | "even") => {
      const y = at.map((_, k) => -130 + (up[k + 1] ?? 0));
      const humLines = {
        x: at,
        y,
        uncertainty: at.map(() => 0.2),
        floor: at.map(() => -140),
        xUnit: "Hz",
        yUnit: "dBFS",
      } as const;
      const usual = { ...usualOf({}), curves: { humLines: { x: at, points } } } as FamilyStats;
      return findMainsComb({ measurement: measurement({}, { humLines }), usual }, kind);
    };
    expect(comb({ 9: 4, 11: 6, 13: 8, 15: 10 }, "odd")).toEqual({ db: 7, toHz: 750 });
    expect(comb({ 9: 4, 11: 6, 13: 8 }, "odd")).toBeUndefined();
    expect(comb({ 9: 3.9, 11: 6, 13: 8, 15: 10 }, "odd")).toBeUndefined();
    expect(comb({ 9: 4, 11: 6, 13: 8, 15: 10 }, "even")).toBeUndefined();
    expect(comb({ 7: 9, 9: 4, 11: 6, 13: 8 }, "odd")).toBeUndefined();
    expect(comb({ 10: 4, 12: 6, 14: 8, 20: 10 }, "even")).toEqual({ db: 7, toHz: 1000 });
    expect(findMainsComb({ measurement: undefined, usual: undefined }, "odd")).toBeUndefined();
  });
});

it("a stray tone is one that stands out and whose frequency was read", () => {
  const tone = { strayTone: dbfs(-70), strayToneHz: reading(15_000, "Hz", 1) };
  const of = (up: number, readings: Parameters<typeof measurement>[0]) =>
    findStrayTone(evidence({ strayTone: up }, { measurement: measurement(readings) }));
  expect(of(9, tone)).toEqual({ code: "stray-tone", hz: 15_000, level: -70, unit: "dBFS" });
  expect(of(3, tone)).toBeUndefined();
  expect(of(9, { strayTone: tone.strayTone })).toBeUndefined();
  expect(of(9, { strayToneHz: tone.strayToneHz })).toBeUndefined();
});

it("the largest score of a curve has its sign, and lies between two frequencies", () => {
  const response = {
    x: [20, 100, 1000],
    y: [-3, 2, 1],
    spread: [1, 0.5, 1],
    uncertainty: [0, 0, 0],
  };
  const most = (from: number, to: number) =>
    findLargestCurveScore(evidence({}, { response }), from, to);
  expect([most(20, 1000), most(21, 999), most(20, 99), most(101, 1000), most(1, 2)]).toEqual([
    4, 4, -3, 1, 0,
  ]);
  expect(findLargestCurveScore(evidence({}), 20, 1000)).toBe(0);
});

describe("a level that jumps within the sweep", () => {
  const edge = 120;
  const jump = (db: number) => (_: number, i: number) => (i >= edge ? db : 0);
  const jumps = (...own: Parameters<typeof withCurve>) => findLevelJumps(withCurve(...own));

  it("is a step beyond 0.3 dB either way, told by how far the response goes", () => {
    expect([0.3, 0.31, -0.31].map((db) => jumps(jump(db)))).toEqual([undefined, 0.31, 0.31]);
    expect(jumps((_, i) => (i >= edge ? -2 : 0.5))).toBe(2);
    expect(findLevelJumps(evidence({}))).toBeUndefined();
  });

  it("is none that may be the measurement's: four times both points' uncertainty", () => {
    // √(0.12² + 0.16²) = 0.2 where the step lies: 0.8 dB.
    const unsure = (i: number) => (i === edge ? 0.12 : i === edge - 1 ? 0.16 : 0.001);
    expect([0.79, 0.81].map((db) => jumps(jump(db), unsure))).toEqual([undefined, 0.81]);
  });

  it("is none beside flanks as steep: two and a half times the steps an eighth of an octave away", () => {
    // A slope of 0.4 dB a point on either side, or on one.
    const sloped = (db: number, before: number, after: number) =>
      jumps((_, i) => (i < edge ? before * (i - edge + 1) : db + after * (i - edge)));
    expect(sloped(0.99, 0.4, 0.4)).toBeUndefined();
    expect(sloped(1.01, 0.4, 0.4)).toBeDefined();
    expect(sloped(0.99, 0.4, 0)).toBeUndefined();
    expect(sloped(0.99, 0, 0.4)).toBeUndefined();
    expect(sloped(1.01, 0, -0.4)).toBeDefined();
    // The mean of both is taken off the step: 0.28, 0.32 and 0.35 dB are left.
    expect(sloped(0.38, 0.1, 0.1)).toBeUndefined();
    expect(sloped(0.42, 0.1, 0.1)).toBeDefined();
    expect(sloped(0.35, 0.1, -0.1)).toBeDefined();
  });

  it("lies within the band, and not at its ends", () => {
    const at = (k: number, grid: readonly number[] = x) =>
      findLevelJumps(withCurve((_, i) => (i >= k ? 1 : 0), undefined, grid)) !== undefined;
    const first = x.findIndex((hz) => hz >= 20);
    expect([3, 4].map((k) => at(first + k))).toEqual([false, true]);
    expect([x.length - 4, x.length - 3].map((k) => at(k))).toEqual([true, false]);
    const wide = [5, 6, 8, 10, 13, 16, ...x];
    expect([3, 6, 9, 10].map((k) => at(first + k, wide))).toEqual([false, false, false, true]);
    // The band begins at 20 Hz itself: the fourth point behind it is the first.
    const exact = [15, 20, 21, 22, 23, 24, 25, 26, 27, 28];
    expect([4, 5].map((k) => at(k, exact))).toEqual([false, true]);
  });
});

describe("a level that breaks within the sweep", () => {
  it("goes 0.4 dB or more, flat between its edges as no bell is", () => {
    const broken = (db: number) =>
      findSweepBreak(withCurve((hz) => (hz > 2000 && hz < 4000 ? db : 0)));
    expect([broken(-0.39), broken(0)]).toEqual([undefined, undefined]);
    expect(broken(-0.41)?.db).toBeCloseTo(-0.41, 9);
    expect(broken(2)?.db).toBeCloseTo(2, 9);
    expect(findSweepBreak(evidence({}))).toBeUndefined();
    // A bell of 4 dB and Q = 2 at 3 kHz: its own form fits it better by far.
    const bell = withCurve((hz) => {
      const x2 = (hz / 3000) ** 2;
      const across = x2 / 4;
      return 10 * Math.log10(((1 - x2) ** 2 + 10 ** 0.4 * across) / ((1 - x2) ** 2 + across));
    });
    expect(findSweepBreak(bell)).toBeUndefined();
    // 0.39 dB is too little however far one point goes, 9 dB enough wherever all else lies.
    const spiked = (hz: number, i: number) => (i === 5 ? -0.5 : hz > 2000 && hz < 4000 ? -0.39 : 0);
    expect(findSweepBreak(withCurve(spiked))).toBeUndefined();
    const offset = (hz: number) => (hz > 2000 && hz < 4000 ? -9 : 0.45);
    expect(findSweepBreak(withCurve(offset))?.db).toBeCloseTo(-9, 9);
  });
});

describe("a level that breaks within the steps", () => {
  const broken = (...steps: readonly ReturnType<typeof step>[]) =>
    findBrokenStep(evidence({}, withSteps(...steps)));

  it("is lower than some step before it and some after it, by the lesser of both", () => {
    expect(broken(step(-20, 0), step(-10, -1), step(0, 0.5))).toBeCloseTo(-0.99, 12);
    expect(broken(step(-20, 0.5), step(-10, -1), step(0, 0))).toBeCloseTo(-0.99, 12);
    // Small signals that vanish, and large ones that are squeezed, are no break.
    expect(broken(step(-20, -3), step(-10, -1), step(0, 0))).toBeUndefined();
    expect(broken(step(-20, 0), step(-10, -1), step(0, -3))).toBeUndefined();
    expect(broken(step(-20, 0), step(0, -1))).toBeUndefined();
    expect(findBrokenStep(evidence({}))).toBeUndefined();
  });

  it("is the deepest of several, 0.15 dB at least and three uncertainties", () => {
    expect(
      broken(step(-30, 0), step(-20, -1), step(-10, -2), step(-5, -0.5), step(0, 0)),
    ).toBeCloseTo(-1.99, 12);
    // 0.01 dB of the steps beside it are taken off.
    expect(broken(step(-20, 0), step(-10, -0.159), step(0, 0))).toBeUndefined();
    expect(broken(step(-20, 0), step(-10, -0.161), step(0, 0))).toBeCloseTo(-0.151, 12);
    const unsure = (db: number) => broken(step(-20, 0), step(-10, db, undefined, 0.1), step(0, 0));
    expect([unsure(-0.3), unsure(-0.32) !== undefined]).toEqual([undefined, true]);
  });
});

it("distortion rises from the tone at nominal to the loud one by what both read", () => {
  const rise = (readings: Parameters<typeof measurement>[0]) =>
    computeHotRise({ measurement: measurement(readings) });
  expect(rise({ thd: reading(-60), thdHot: reading(-48) })).toBe(12);
  expect(rise({ thd: reading(-60) })).toBeUndefined();
  expect(rise({ thdHot: reading(-48) })).toBeUndefined();
  expect(computeHotRise({ measurement: undefined })).toBeUndefined();
});

describe("the law of a bend", () => {
  const law = (...steps: readonly ReturnType<typeof step>[]) =>
    readBendLaw({ ...withSteps(...steps), usual: undefined });

  it("is the slope from the lowest level to the highest, and the steepest between neighbours", () => {
    expect(law(step(0, 0, -60), step(4, 0, -58), step(8, 0, -40), step(12, 0, -36))).toEqual({
      slope: 2,
      steepest: 4.5,
      fromDistortionDb: -60,
      fromDb: 0,
      toDb: 12,
    });
  });

  it("takes steps from nominal on that were read, 2 dB apart and 5 dB in all", () => {
    expect(law(step(-3, 0, -80), step(0, 0, -60), step(5, 0, -55))?.fromDb).toBe(0);
    expect(law(step(0, 0, -60), step(4.9, 0, -55))).toBeUndefined();
    expect(law(step(0, 0, -60), step(5, 0, -55))?.slope).toBe(1);
    // 1.9 dB above is read as one with the step beneath; 2 dB is a step of its own, of 10 dB.
    const near = (db: number) =>
      law(step(0, 0, -60), step(db, 0, -60 + 10 * db), step(6, 0, -54))?.steepest;
    expect([near(1.9), near(2)]).toEqual([1, 10]);
    expect(law(step(0, 0, -60), step(3, 0), step(6, 0, -54))?.steepest).toBe(1);
    // From the step that was kept last, wherever that is: 1.9 dB above 3 dB.
    expect(
      law(step(0, 0, -60), step(3, 0, -57), step(4.9, 0, -20), step(8, 0, -52))?.steepest,
    ).toBe(1);
    expect(law()).toBeUndefined();
  });

  it("leaves out what lies within 2 dB of where siblings overload", () => {
    const of = (headroom: number) =>
      readBendLaw({
        ...withSteps(step(0, 0, -60), step(6, 0, -54), step(12, 0, -20)),
        usual: usualOf({ headroom }),
      })?.toDb;
    expect([of(14), of(13.9), of(8), of(7.9)]).toEqual([12, 6, 6, undefined]);
  });

  it("is of the two tones' readings where there are no two steps, and neither is a bound", () => {
    const of = (
      readings: Parameters<typeof measurement>[0],
      steps: ReturnType<typeof step>[] = [],
    ) => readBendLaw({ measurement: { ...measurement(readings), steps }, usual: undefined })?.slope;
    expect(of({ thd: reading(-60), thdHot: reading(-36) })).toBe(2);
    expect(of({ thd: reading(-60), thdHot: reading(-36) }, [step(3, 0, -50)])).toBe(2);
    expect(of({ thd: reading(-60) })).toBeUndefined();
    const bound = { ...reading(-60), bound: "at-most" } as unknown as Reading;
    expect(of({ thd: bound, thdHot: reading(-36) })).toBeUndefined();
  });

  const path = (
    steps: readonly ReturnType<typeof step>[],
    deviations: Deviations = { thd: 20, thdHot: 20 },
    readings: Parameters<typeof measurement>[0] = {},
  ): PathEvidence => evidence(deviations, { measurement: { ...measurement(readings), steps } });
  const line = (slope: number, from = 0, at = -60) =>
    [from, from + 6, from + 12].map((db) => step(db, 0, at + slope * (db - from)));

  it("is smooth from a quarter down to 2.6 decibels up for each, where anything is worse at all", () => {
    const smooth = (slope: number) => isSmoothBend(path(line(slope)));
    expect([-0.26, -0.25, 2.6, 2.61].map(smooth)).toEqual([false, true, true, false]);
    expect(isSmoothBend(path(line(1), { thd: 3, thdHot: 3 }))).toBeUndefined();
    expect(isSmoothBend(path(line(1), { thd: 9 }))).toBe(true);
    expect(isSmoothBend(path(line(1), { thdHot: 9 }))).toBe(true);
    expect(isSmoothBend(path([step(0, 0, -60)]))).toBeUndefined();
    // One steep stretch between flat ones is a threshold.
    expect(isSmoothBend(path([step(0, 0, -80), step(6, 0, -62), step(12, 0, -61)]))).toBe(false);
  });

  it("has a threshold beneath where nominal is cleaner than its law leaves it", () => {
    // From −60 dB 6 dB above nominal, at most 2.6 for each: −75.6 dB.
    const at = (thd: number, deviations?: Deviations) =>
      isSmoothBend(path(line(1, 6), deviations, { thd: reading(thd) }));
    expect([-75.7, -75.5].map((db) => at(db))).toEqual([false, true]);
    expect(at(-70, { thd: 20 })).toBeUndefined();
    expect(isSmoothBend(path(line(1, 6), { thdHot: 20 }))).toBe(true);
  });

  it("is flattened above −26 dB at nominal, or squeezed above −34", () => {
    const at = (thd: number, compression = 0) =>
      isSmoothBend(path(line(1), { thd: 20, thdHot: 20, compression }, { thd: reading(thd) }));
    expect([-26, -25.9].map((db) => at(db))).toEqual([true, false]);
    expect([-34, -33.9].map((db) => at(db, -1.6))).toEqual([true, false]);
    expect(at(-33.9, -1.5)).toBe(true);
  });

  it("keeps an order above 0.7 decibels for each, and bends in halves within a quarter of none", () => {
    expect([0.7, 0.71].map((slope) => keepsOrder(path(line(slope))))).toEqual([false, true]);
    expect(keepsOrder(path(line(3)))).toBe(false);
    const halves = (slope: number) => bendsInHalves(path(line(slope)));
    expect([-0.26, -0.25, 0, 0.25, 0.26].map(halves)).toEqual([false, true, true, true, false]);
    // Two levels are no law.
    expect(bendsInHalves(path([step(0, 0, -60), step(12, 0, -60)]))).toBe(false);
    expect(bendsInHalves(path([step(0, 0, -60), step(6, 0), step(12, 0, -60)]))).toBe(false);
    expect(bendsInHalves(path([]))).toBe(false);
  });
});

it("a capacitor bends 1 kHz by the share of the tone that stands across it, squared or cubed", () => {
  // The closed form again, by complex numbers: a high-pass 1/(1 − j·fc/f), across it what is left.
  const across = (f: number) => 1 / Math.hypot(1, f / 100);
  const passed = (f: number) => 1 / Math.hypot(1, 100 / f);
  const bend = (f: number, n: number) =>
    20 * Math.log10((across(f) ** n * passed(n * f)) / passed(f));
  const most = (aboveDb: number) =>
    Math.max(...[2, 3].map((n) => bend(1000, n) - bend(100, n) + (n - 1) * aboveDb));
  const risen = (own: number, usual: number) =>
    10 * Math.log10((10 ** (own / 10) + 10 ** (usual / 10)) / 10 ** (usual / 10));
  const of = (medians: Deviations, readings: Parameters<typeof measurement>[0]) =>
    findBendAt1k({ measurement: measurement(readings), usual: usualOf(medians) }, 100);
  const found = of({ thd: -100, thdHot: -90 }, { thd100: reading(-40) });
  expect(found?.nominalDb).toBeCloseTo(risen(-40 + 10 + most(0), -100), 9);
  expect(found?.loudDb).toBeCloseTo(risen(-40 + 10 + most(12), -90), 9);
  const quiet = of({ thd: -100 }, { thd100: reading(-40) });
  expect(quiet?.loudDb).toBeCloseTo(risen(-40 + 10 + most(12), -100), 9);
  // What siblings differ by anyway is 1 dB.
  expect(of({ thd: -40 }, { thd100: reading(-90) })?.nominalDb).toBe(1);
  expect(of({ thd: -100 }, {})).toBeUndefined();
  expect(of({}, { thd100: reading(-40) })).toBeUndefined();
});

it("breaks are summed up by where they lie: how many, the deepest and the longest", () => {
  const mark = (segment: string, levelDb: number, atS: number, lengthS: number) =>
    ({ kind: "level-break", segment, atS, untilS: atS + lengthS, levelDb }) as const;
  const click = { kind: "click", atS: 2, overDb: 20 } as const;
  const marks = [
    mark("tone", -1, 1, 0.25),
    click,
    mark("sweep", -2, 4, 0.5),
    mark("tone", 3, 2, 0.125),
    mark("tone", -2, 3, 0.5),
  ];
  expect(listBreaks(marks)).toHaveLength(4);
  expect(listBreaks()).toEqual([]);
  expect(summarizeBreaks(marks).segments).toEqual([
    { segment: "tone", count: 3, deepestDb: 3, longestS: 0.5 },
    { segment: "sweep", count: 1, deepestDb: -2, longestS: 0.5 },
  ]);
});

describe("evidence of a path", () => {
  const third = Array.from({ length: 30 }, (_, k) => 1000 * 10 ** ((k - 16) / 10));
  const noise = (db: (hz: number) => number) => ({
    x: third,
    y: third.map(db),
    uncertainty: third.map(() => 0.5),
    xUnit: "Hz" as const,
    yUnit: "dBFS" as const,
  });
  const points = third.map(() => ({ count: 9, median: -110, scale: 0.3 }));
  const usual = {
    ...usualOf({ noiseSlope: 0 }),
    readings: { noiseSlope: { count: 9, median: 0, scale: 3 } },
    curves: { noise: { x: third, points } },
  } as unknown as FamilyStats;
  const slope = (db: (hz: number) => number, value = -3) =>
    buildPathEvidence(
      {
        path: "7/mic",
        family: "mic",
        measurement: measurement(
          { noiseSlope: reading(value, "dB/oct", 0.3) },
          { noise: noise(db) },
        ),
      },
      [],
      { usual },
    ).features.get("noiseSlope");

  it("has the slope of noise clear where its low end stands above the siblings' by more than hiss", () => {
    const plain = slope(() => -110)?.spread ?? 0;
    const rumble = (hz: number) => (hz < 100 ? -95 : -110);
    expect(slope(rumble)?.spread).toBeLessThan(plain / 2);
    // As much more all over is no rumble, nor is less; a slope that rises is not that of 1/f noise.
    expect(slope(() => -95)?.spread).toBe(plain);
    expect(slope((hz) => (hz < 100 ? -125 : -110))?.spread).toBe(plain);
    expect(slope(rumble, 3)?.spread).toBe(plain);
    // 1/f noise that reaches into the lower hiss is still more at the low end than there.
    const wide = (hz: number) => (hz < 100 ? -95 : hz < 3000 ? -104 : -110);
    expect(slope(wide)?.spread).toBeLessThan(plain / 2);
    // Of the band at 18 to 42 Hz alone.
    expect(slope((hz) => (hz > 45 && hz < 350 ? -95 : -110))?.spread).toBe(plain);
  });
});

describe("what a path's response differs by", () => {
  const curveOf = (x: readonly number[], y: readonly number[]) => ({
    x,
    y,
    uncertainty: x.map(() => 0.02),
    xUnit: "Hz" as const,
    yUnit: "dB" as const,
  });
  const crowd = (
    ...scatter: readonly (readonly [median: number, count: number] | undefined)[]
  ) => ({
    x: [],
    points: scatter.map((one) => one && { median: one[0], count: one[1], scale: 0.3 }),
  });
  const build = (
    curves: Parameters<typeof measurement>[1],
    usual: Readonly<Record<string, unknown>> | undefined,
    beside = false,
  ) => {
    const input = { path: "7/mic", family: "mic", measurement: measurement({}, curves) };
    const stats = usual && ({ ...usualOf({}), curves: usual } as unknown as FamilyStats);
    return buildPathEvidence(input, [], {
      usual: stats,
      ...(beside ? { beside: { input, usual: stats } } : {}),
    });
  };
  const within = curveOf([100, 1000, 10_000], [-2, 0, 1]);

  it("is each point against its siblings', below the band first, with what it is known by", () => {
    const found = build(
      { response: within, responseLow: curveOf([5, 10], [-4, -3]) },
      {
        response: crowd([1, 9], undefined, [-1, 3]),
        responseLow: crowd([-1, 4], [-1, 9]),
      },
    ).response;
    expect(found?.x).toEqual([5, 10, 100, 10_000]);
    expect(found?.y).toEqual([-3, -2, -3, 2]);
    // The uncertainty is of two standard deviations; three siblings do not show how they scatter.
    expect(found?.uncertainty).toEqual([0.01, 0.01, 0.01, 0.01]);
    expect(found?.siblings).toEqual([0.3, 0.3, 0.3, Number.POSITIVE_INFINITY]);
    expect(found?.spread).toHaveLength(4);
  });

  it("is that of the band alone where nothing lies below, and none without siblings or a curve", () => {
    const response = crowd([0, 9], [0, 9], [0, 9]);
    expect(build({ response: within }, { response }).response?.x).toEqual([100, 1000, 10_000]);
    const low = curveOf([5], [-4]);
    const usual = { response, responseLow: crowd([0, 9]) };
    expect(build({ responseLow: low }, usual).response).toBeUndefined();
    expect(build({ response: within, responseLow: low }, { response }).response?.x).toHaveLength(3);
    expect(build({ response: within }, {}).response).toBeUndefined();
    expect(build({ response: within }, undefined).response).toBeUndefined();
  });

  it("is that of the other side of the bus too, where one pan feeds both", () => {
    const response = crowd([0, 9], [0, 9], [0, 9]);
    const found = build({ response: within }, { response }, true);
    expect(found.beside?.heard).toBe(true);
    expect(found.beside?.response?.y).toEqual([-2, 0, 1]);
    expect(build({ response: within }, { response })).not.toHaveProperty("beside");
  });
});

it("rumble is none of the noise where the response lifts 20 to 42 Hz by more than 1 dB", () => {
  const third = Array.from({ length: 30 }, (_, k) => 1000 * 10 ** ((k - 16) / 10));
  const curve = (db: (hz: number) => number, yUnit: "dB" | "dBFS") => ({
    x: third,
    y: third.map(db),
    uncertainty: third.map(() => 0.1),
    xUnit: "Hz" as const,
    yUnit,
  });
  const points = (median: number) => third.map(() => ({ count: 9, median, scale: 0.3 }));
  const usual = {
    ...usualOf({}),
    readings: { noiseSlope: { count: 9, median: 0, scale: 3 } },
    curves: {
      noise: { x: third, points: points(-110) },
      response: { x: third, points: points(0) },
    },
  } as unknown as FamilyStats;
  const spread = (from: number, to: number, db: number) => {
    const own = measurement(
      { noiseSlope: reading(-3, "dB/oct", 0.3) },
      {
        noise: curve((hz) => (hz < 100 ? -95 : -110), "dBFS"),
        response: curve((hz) => (hz >= from && hz <= to ? db : 0), "dB"),
      },
    );
    const input = { path: "7/mic", family: "mic", measurement: own };
    return buildPathEvidence(input, [], { usual }).features.get("noiseSlope")?.spread ?? 0;
  };
  const clear = spread(0, 0, 0);
  expect(spread(20, 42, 0.9)).toBe(clear);
  expect(spread(20, 42, 1.1)).toBeGreaterThan(2 * clear);
  expect(spread(45, 200, 9)).toBe(clear);
  expect(spread(20, 42, -9)).toBe(clear);
});

it("hum has no share of the noise where it is a bound by that, or one of both was not read", () => {
  const share = (readings: Parameters<typeof measurement>[0]) =>
    computeHumShare(evidence({}, { measurement: measurement(readings) }));
  const byNoise = { limitedBy: "noise" } as unknown as Partial<Reading>;
  expect(share({ hum: dbfs(-90, byNoise), noise: dbfs(-80) })).toBeUndefined();
  expect(share({ hum: dbfs(-90) })).toBeUndefined();
  expect(share({ noise: dbfs(-80) })).toBeUndefined();
  expect(share({ hum: dbfs(-90), noise: dbfs(-80) })).toBeCloseTo(0.1, 12);
});

describe("rumble", () => {
  // Two points at either end of each range, and one just beyond it that is far off.
  const at = [17, 18, 42, 43, 399, 400, 2000, 2001, 3999, 4000, 16_000, 16_001];
  const scatter = { count: 9, median: -110, scale: 0.3 };
  const slopeSpread = (
    rises: readonly number[],
    hz: readonly number[] = at,
    lacks: readonly number[] = [],
  ) => {
    const noise = {
      x: hz,
      y: rises.map((rise) => rise - 110),
      uncertainty: hz.map(() => 0.5),
      xUnit: "Hz" as const,
      yUnit: "dBFS" as const,
    };
    const points = hz.map((one) => (lacks.includes(one) ? undefined : scatter));
    const usual = {
      ...usualOf({}),
      readings: { noiseSlope: { count: 9, median: 0, scale: 3 } },
      curves: { noise: { x: hz, points } },
    } as unknown as FamilyStats;
    const own = measurement({ noiseSlope: reading(-2, "dB/oct", 0.3) }, { noise });
    const input = { path: "7/mic", family: "mic", measurement: own };
    return buildPathEvidence(input, [], { usual }).features.get("noiseSlope")?.spread ?? 0;
  };
  const plain = slopeSpread(at.map(() => 0));
  const around = (rumble: number, near: number, far: number) => [
    ...[99, rumble - 1, rumble + 1, 99],
    ...[-50, near - 1, near + 1, 90],
    ...[-50, far - 1, far + 1, 90],
  ];

  it.each([
    // Above the hiss from 400 Hz to 2 kHz, or, more than 3 dB above that, from 4 to 16 kHz if less.
    [15, 0, 0, 15],
    [15, 6, 2, 13],
    [15, 6, 8, 9],
    [8.9, 6, 2, 2.9],
    [9.1, 6, 2, 7.1],
    // Hiss that is less than the siblings' takes nothing off.
    [15, -4, 3, 15],
    [15, 6, -5, 15],
  ])("of %d dB beside hiss of %d and %d dB is %d dB", (rumble, near, far, above) => {
    const { score } = scoreSiblingDeviation(-110 + above, scatter, 0.5, 1, 1);
    const expected = Math.min(plain, 2 / score);
    expect(slopeSpread(around(rumble, near, far))).toBeCloseTo(expected, 9);
  });

  it("is none where noise is no higher there, or only one third octave shows it", () => {
    expect(slopeSpread(around(6, 6, 2))).toBe(plain);
    expect(slopeSpread(around(4, 6, 6))).toBe(plain);
    expect(slopeSpread([15, 0, 0], [30, 400, 2000])).toBe(plain);
    expect(slopeSpread(around(15, 0, 0), at, [18])).toBe(plain);
    // Without siblings' hiss, all of it is.
    const { score } = scoreSiblingDeviation(-95, scatter, 0.5, 1, 1);
    expect(slopeSpread([15, 15], [20, 40])).toBeCloseTo(2 / score, 9);
  });
});

describe("how a path differs", () => {
  const curveOf = (hz: readonly number[], y: readonly number[]) => ({
    x: hz,
    y,
    uncertainty: hz.map(() => 0.02),
    xUnit: "Hz" as const,
    yUnit: "dB" as const,
  });
  const scatter = { count: 9, median: 0, scale: 0.01 };
  const usual = {
    ...usualOf({ cornerLow: 8, polarity: 1 }),
    curves: {
      response: { x: [100, 1000], points: [scatter, scatter] },
      responseLow: { x: [5, 10], points: [scatter, scatter] },
    },
  } as unknown as FamilyStats;
  const own = measurement(
    { polarity: reading(-1, "", 0) },
    { response: curveOf([100, 1000], [-2, 0]), responseLow: curveOf([5, 10], [-4, -3]) },
  );
  const found = (reading: string, atHz?: number) =>
    ({ reading, ...(atHz === undefined ? {} : { atHz }) }) as Finding;
  const input = { path: "7/mic", family: "mic", measurement: own };
  const build = (...findings: readonly Finding[]) =>
    buildPathEvidence(input, findings, { usual, beside: { input, usual } });
  const spreadAt = (y: number, granted: number) =>
    scoreSiblingDeviation(y, scatter, 0.02, granted, 1).spread;

  it("below the band is judged by capacitors' scatter only where that found it", () => {
    const plain = [spreadAt(-4, assumedResponseStdDevDb), spreadAt(-3, assumedResponseStdDevDb)];
    const byCapacitors = [
      spreadAt(-4, grantLowResponse(5, 8)),
      spreadAt(-3, grantLowResponse(10, 8)),
    ];
    const low = (...findings: readonly Finding[]) =>
      build(...findings).response?.spread.slice(0, 2);
    expect(byCapacitors).not.toEqual(plain);
    expect(low()).toEqual(plain);
    expect(low(found("response", 19.9))).toEqual(byCapacitors);
    expect(low(found("gain"), found("response", 10))).toEqual(byCapacitors);
    expect(low(found("response", 20))).toEqual(plain);
    expect(low(found("response"))).toEqual(plain);
    expect(low(found("gain", 10))).toEqual(plain);
    // What was found on this side says nothing of the other.
    const beside = build(found("response", 10)).beside?.response;
    expect(beside?.spread.slice(0, 2)).toEqual(plain);
  });

  it("in one of two states is ten spreads at least", () => {
    const kind = readingKinds.find(({ id }) => id === "polarity");
    const feature = build().features.get("polarity");
    expect(feature?.deviation).toBe(-2);
    expect(feature?.spread).toBeCloseTo((kind?.least ?? 0) / 10, 12);
  });

  it("says whether the other side was heard at all", () => {
    const heard = (measured: boolean) =>
      buildPathEvidence(input, [], {
        usual,
        beside: {
          input: measured ? input : { path: "7/mic", family: "mic" },
          usual,
        },
      }).beside;
    expect(heard(true)?.heard).toBe(true);
    expect(heard(false)).toEqual({ heard: false, features: new Map(), response: undefined });
  });
});

it("the largest difference lies between both frequencies, and of two alike the first counts", () => {
  const response = {
    x: [50, 100, 200],
    y: [-4, -3, 3],
    spread: [1, 1, 1],
    uncertainty: [0, 0, 0],
  };
  const path = evidence({}, { response });
  expect(findLargestDifference(path, 20, 50)).toBe(-4);
  expect(findLargestDifference(path, 100, 200)).toBe(-3);
  expect(findLargestCurveScore(path, 20, 50)).toBe(-4);
  expect(findLargestCurveScore(path, 100, 200)).toBe(-3);
});
