import { describe, expect, it, test } from "vitest";
import type { Curve } from "../../src/measure/types.js";
import {
  computeFamilyStats,
  type FamilyStats,
  getReferenceStats,
  groupFamilies,
} from "../../src/rank/family-stats.js";
import { compareResponses } from "../../src/rank/responses.js";
import { scoreDeviation, scoreSiblingDeviation } from "../../src/rank/robust-stats.js";
import { compareSpectra } from "../../src/rank/spectra.js";
import { formatHertz } from "../../src/text/format-hertz.js";
import { family, measurement, reading } from "../helpers/families.js";

// Expected: docs/judging.md, "How a path is judged"; which point it is, by hand.

const hz24 = Array.from({ length: 240 }, (_, k) => 20 * 2 ** (k / 24));
const curve = (x: readonly number[], y: readonly number[], more: Partial<Curve> = {}): Curve => ({
  x,
  y,
  uncertainty: x.map(() => 0.01),
  xUnit: "Hz",
  yUnit: "dB",
  ...more,
});
/** What is usual where all siblings have 0 dB at every point. */
const flat = (id: string, n: number, count: number, excess = 1): FamilyStats => ({
  count,
  readings: {},
  curves: {
    [id]: { x: [], points: Array.from({ length: n }, () => ({ count, median: 0, scale: 0.01 })) },
  },
  excess,
});
/** Decibels at some points from `at` on, nought elsewhere. */
const bump = (n: number, at: number, ...db: readonly number[]) =>
  Array.from({ length: n }, (_, k) => db[k - at] ?? 0);

describe("compareResponses", () => {
  const found = (y: readonly number[], count = 24, excess = 1) => {
    const own = family([measurement({}, { response: curve(hz24, y) })]).map((one) => ({
      path: one.path,
      measurement: one.measurement ?? measurement({}),
    }));
    return compareResponses(own, flat("response", 240, count, excess)).flatMap(
      ({ part, finding }) => (finding ? [{ part, ...finding }] : []),
    );
  };

  it("asks for five neighbours on one side", () => {
    expect(found(bump(240, 20, 3, 3, 3, 3))).toStrictEqual([]);
    expect(found(bump(240, 20, 3, 3, 3, 3, 3))).toHaveLength(1);
    expect(found(bump(240, 20, 3, 3, -3, 3, 3))).toStrictEqual([]);
    expect(found(bump(240, 20, -3, -3, -3, -3, -3))).toHaveLength(1);
  });

  describe("of a path whose 1 kHz itself differs", () => {
    /** So many points at each of some levels, one after the other. */
    const levels = (...parts: readonly (readonly [count: number, db: number])[]) =>
      parts.flatMap(([count, db]) => Array<number>(count).fill(db));
    const deviations = (y: readonly number[]) =>
      new Set(found(y).map(({ deviation }) => Math.round(deviation)));

    it("is counted from the plateau that at least half of it lies on", () => {
      expect(deviations(levels([240, -3]))).toStrictEqual(new Set());
      expect(deviations(levels([140, -3], [100, 1.5]))).toStrictEqual(new Set([5]));
      expect(deviations(levels([120, -3], [120, 4]))).toStrictEqual(new Set([7]));
      // On none: the largest below 250 Hz, and between that and 5 kHz.
      expect(deviations(levels([119, -3], [61, 4], [60, 7]))).toStrictEqual(new Set([-3, 7]));
    });

    it("is not where half as much of it or more is as its siblings'", () => {
      expect(deviations(levels([160, -3], [80, 0]))).toStrictEqual(new Set([3]));
      expect(deviations(levels([159, -3], [81, 0]))).toStrictEqual(new Set([-3]));
    });

    it("is not within a decibel of its siblings", () => {
      expect(deviations(levels([240, -0.9]))).toStrictEqual(new Set([-1]));
      expect(deviations(levels([240, -1.1]))).toStrictEqual(new Set());
    });
  });

  it("watches a corner that has gone up among capacitors, though any response may scatter as far", () => {
    // First-order high-passes, −10·lg(1 + (f₀/f)²): seven of 1.8 Hz and one of 5.3 Hz, 1.4 dB less at 8 Hz.
    const x = Array.from({ length: 10 }, (_, k) => 8 + 1.25 * k);
    const row = (hz: number, uncertainty = 0.05) =>
      measurement(
        { cornerLow: reading(hz, "Hz", uncertainty) },
        {
          response: curve(hz24, bump(240, 0)),
          responseLow: curve(
            x,
            x.map((f) => -10 * Math.log10(1 + (hz / f) ** 2)),
          ),
        },
      );
    const severities = (fallen: ReturnType<typeof row>) => {
      const own = family(
        [1.7, 1.75, 1.8, 1.8, 1.85, 1.9, 1.95].map((hz) => row(hz)).concat(fallen),
      );
      const members = own.flatMap(({ path, measurement: one }) =>
        one ? [{ path, measurement: one }] : [],
      );
      return compareResponses(members, computeFamilyStats(members)).flatMap(({ path, finding }) =>
        finding ? [`${path} ${finding.severity}`] : [],
      );
    };
    expect(severities(row(5.3))).toStrictEqual(["8/mic watch"]);
    // Where the corner itself is not known to have moved, the same fall is a remark.
    expect(severities(row(5.3, 4))).toStrictEqual(["8/mic remark"]);
  });

  it("speaks of the largest difference, with the score of the weakest neighbour", () => {
    const [one] = found(bump(240, 20, -3, -4, -9, -5, -3));
    expect(one).toMatchObject({ part: "low", reading: "response", unit: "dB" });
    expect(one).toMatchObject({ value: -9, deviation: -9, expected: 0, severity: "service" });
    expect(one.atHz).toBeCloseTo(hz24[22], 9);
    const [weak] = found(bump(240, 20, -3, -3, -3, -3, -3));
    expect(one.score).toBeCloseTo(weak.score, 9);
  });

  it("gives each part of the band its own: below 250 Hz, below 5 kHz, and above", () => {
    const at = (hz: number) => hz24.findIndex((x) => x >= hz);
    const y = bump(240, at(60), 3, 3, 3, 3, 3).map(
      (db, k) => db + bump(240, at(1500), 4, 4, 4, 4, 4)[k] + bump(240, at(9000), 5, 5, 5, 5, 5)[k],
    );
    expect(found(y).map(({ part, deviation }) => [part, deviation])).toStrictEqual([
      ["low", 3],
      ["middle", 4],
      ["high", 5],
    ]);
    // five across a border are no five on either side
    expect(found(bump(240, at(250) - 3, 3, 3, 3, 3, 3))).toStrictEqual([]);
    expect(found(bump(240, at(5000) - 2, 3, 3, 3, 3, 3))).toStrictEqual([]);
  });

  it("asks for the practical floor, twice that of five siblings, thrice of three", () => {
    const shown = (db: number, count: number) => found(bump(240, 20, ...Array(9).fill(db)), count);
    expect([shown(0.59, 24), shown(0.61, 24)].map((all) => all.length)).toStrictEqual([0, 1]);
    expect([shown(1.19, 5), shown(2, 5)].map((all) => all.length)).toStrictEqual([0, 1]);
    expect([shown(1.79, 3), shown(4, 3)].map((all) => all.length)).toStrictEqual([0, 1]);
  });

  it("expects more of a family that scatters more in all it has", () => {
    expect(found(bump(240, 20, ...Array(9).fill(1.1)), 24, 4)).toStrictEqual([]);
  });

  it("of two that differ takes the one that lost for the faulty one", () => {
    // The difference of two with a standard deviation of half a floor each, a quarter granted, and five
    // degrees of freedom: 4.1 and 5 at 7.50 and 15.04 floors (t.isf(norm.sf(z), 6.33) of scipy 1.17.1);
    // the formula used is within one per cent of that significance, five of the floors.
    const severity = (db: number) => found(bump(240, 20, ...Array(9).fill(db)), 1)[0]?.severity;
    expect([7.4, 7.9, 14.9, 16].map((floors) => severity(-0.6 * floors))).toStrictEqual([
      "remark",
      "watch",
      "watch",
      "service",
    ]);
    expect(severity(0.6 * 16)).toBe("remark");
  });

  it("has nothing to compare without siblings' curves", () => {
    expect(compareResponses([], undefined)).toStrictEqual([]);
    const bare = [{ path: "1/mic", measurement: measurement({}) }];
    expect(compareResponses(bare, flat("response", 240, 9))).toStrictEqual([]);
  });
});

describe("compareSpectra", () => {
  const bands = Array.from({ length: 30 }, (_, k) => 25 * 2 ** (k / 3));
  const found = (
    id: "noise" | "distortion",
    y: readonly number[],
    { count = 24, more = {} }: { count?: number; more?: Partial<Curve> } = {},
  ) => {
    const own = [{ path: "1/mic", measurement: measurement({}, { [id]: curve(bands, y, more) }) }];
    return compareSpectra(own, flat(id, 30, count)).flatMap(({ finding }) => finding ?? []);
  };

  it("asks for two neighbours of noise and four of distortion", () => {
    expect(found("noise", bump(30, 9, 20))).toStrictEqual([]);
    expect(found("noise", bump(30, 9, 20, 20))).toMatchObject([{ reading: "noiseCurve" }]);
    expect(found("distortion", bump(30, 9, 20, 20, 20))).toStrictEqual([]);
    expect(found("distortion", bump(30, 9, 20, 20, 20, 20))).toMatchObject([
      { reading: "distortionCurve" },
    ]);
  });

  it("leaves alone what is lower than its siblings'", () => {
    expect(found("noise", bump(30, 9, -20, -20, -20))).toStrictEqual([]);
    expect(found("noise", bump(30, 9, 20, -20, 20))).toStrictEqual([]);
  });

  it("speaks of the largest rise, with the score of the weaker neighbour", () => {
    const [one] = found("noise", bump(30, 9, 12, 17));
    expect(one).toMatchObject({ value: 17, deviation: 17, expected: 0, atHz: bands[10] });
    const [even] = found("noise", bump(30, 9, 12, 12));
    expect(one.score).toBeCloseTo(even.score, 9);
    const [other] = found("noise", bump(30, 9, 17, 12));
    expect(other).toMatchObject({ deviation: 17, atHz: bands[9] });
    // of two rises the one whose weaker point stands out more
    const twice = bump(30, 3, 9, 30).map((db, k) => db + bump(30, 20, 12, 12)[k]);
    expect(found("noise", twice)[0].atHz).toBe(bands[20]);
  });

  it("takes the scatter of many for what it is, of one or of a wide family as known beforehand", () => {
    // Noise is granted a quarter of its floor of 4 dB, beside 0.01 dB of the siblings and of its own.
    const score = (count: number, excess: number) => {
      const y = bump(30, 9, 12, 12);
      const own = [{ path: "1/mic", measurement: measurement({}, { noise: curve(bands, y) }) }];
      return compareSpectra(own, flat("noise", 30, count, excess))[0].harmful;
    };
    const scatter = (count: number) => ({ count, median: 0, scale: 0.01 });
    expect(score(24, 1)).toBe(scoreDeviation(12, scatter(24), 0.01, 1).score);
    expect(score(2, 1)).toBe(scoreDeviation(12, scatter(2), 0.01, 1).score);
    expect(score(24, 2)).toBe(scoreSiblingDeviation(12, scatter(24), 0.01, 1, 2).score);
    expect(score(1, 1)).toBe(scoreSiblingDeviation(12, scatter(1), 0.01, 1, 1).score);
  });

  it("looks at all of a curve, and of equal rises takes the first", () => {
    expect(found("noise", bump(30, 28, 20, 20))).toMatchObject([{ severity: "service" }]);
    expect(found("noise", bump(30, 0, 20, 20))).toMatchObject([{ atHz: bands[0] }]);
    const twice = bump(30, 3, 12, 12).map((db, k) => db + bump(30, 20, 12, 12)[k]);
    expect(found("noise", twice)[0].atHz).toBe(bands[3]);
    expect(found("noise", bump(30, 29, 20))).toStrictEqual([]);
    // A point at the siblings' middle is none of a rise.
    expect(found("noise", bump(30, 9, 20, 0, 20))).toStrictEqual([]);
    expect(compareSpectra([], undefined)).toStrictEqual([]);
  });

  it("leaves out points within 3 dB of what the method alone gives", () => {
    const floor = (db: number) => ({ more: { floor: bands.map(() => db) } });
    expect(found("noise", bump(30, 9, 20, 20), floor(17.1))).toStrictEqual([]);
    expect(found("noise", bump(30, 9, 20, 20), floor(16.9))).toHaveLength(1);
  });

  it("asks for the practical floor: 4 dB of noise, 6 of distortion, more of few siblings", () => {
    const noise = (db: number, count: number) =>
      found("noise", bump(30, 9, db, db, db), { count }).length;
    expect([noise(3.9, 24), noise(6, 24), noise(6, 5), noise(60, 3)]).toStrictEqual([0, 1, 0, 1]);
  });
});

describe("what is usual in a family", () => {
  const members = (...values: readonly number[]) =>
    values.map((value, k) => ({
      path: `${k + 1}/mic`,
      measurement: measurement({ gain: reading(value) }),
    }));

  it("needs three paths, and of each reading three that have it", () => {
    expect(computeFamilyStats(members(1, 2))).toBeUndefined();
    expect(computeFamilyStats(members(1, 2, 4))?.readings.gain).toMatchObject({
      count: 3,
      median: 2,
    });
    const [a, b, c] = members(1, 2, 4);
    const bare = { path: "4/mic", measurement: measurement({}) };
    expect(computeFamilyStats([a, b, bare])?.readings).toStrictEqual({});
    expect(computeFamilyStats([a, b, c, bare])).toMatchObject({ count: 4 });
  });

  it("for one of two is the other one's own", () => {
    const two = members(1, 5);
    expect(getReferenceStats(two, "1/mic")?.readings.gain).toStrictEqual({
      count: 1,
      median: 5,
      scale: 0,
    });
    expect(getReferenceStats(two, "2/mic")?.readings.gain.median).toBe(1);
    expect(getReferenceStats(members(1), "1/mic")).toBeUndefined();
    expect(getReferenceStats(members(1, 2, 4), "1/mic")?.readings.gain.median).toBe(2);
  });

  it("reads curves as far as three of them reach", () => {
    const of = (n: number) => ({
      path: `${n}/mic`,
      measurement: measurement({}, { response: curve(hz24.slice(0, n), hz24.slice(0, n)) }),
    });
    const usual = computeFamilyStats([of(5), of(9), of(7), of(3)])?.curves.response;
    expect(usual?.x).toHaveLength(9);
    expect(usual?.points.map((point) => point?.count)).toStrictEqual([
      4,
      4,
      4,
      3,
      3,
      undefined,
      undefined,
      undefined,
      undefined,
    ]);
  });

  it("is the wider the more all its readings together scatter, from five readings on", () => {
    // Floors: docs/judging.md. Beforehand a standard deviation is half of a floor; Qn of −s, 0, s is
    // 2.2219 · 0.994 · s.
    const floors = { gain: 0.7, hiss: 2, noiseA: 2, thd: 4, headroom: 1 };
    const spread = (times: number, ids: readonly (keyof typeof floors)[]) =>
      [-1, 0, 1].map((k) => ({
        path: `${k + 2}/mic`,
        measurement: measurement(
          Object.fromEntries(
            ids.map((id) => [id, reading((k * times * floors[id]) / 2 / (2.2219 * 0.994))]),
          ),
        ),
      }));
    const all = Object.keys(floors) as (keyof typeof floors)[];
    expect(computeFamilyStats(spread(3, all))?.excess).toBeCloseTo(3, 9);
    expect(computeFamilyStats(spread(0.3, all))?.excess).toBe(1);
    expect(computeFamilyStats(spread(3, all.slice(1)))?.excess).toBe(1);
  });

  it("families stand in the order in which they come, what was not measured stays out", () => {
    const named = [
      { path: "1/mic", family: "mic", measurement: measurement({}) },
      { path: "1/line", family: "line", measurement: measurement({}) },
      { path: "2/mic", family: "mic", measurement: measurement({}) },
      { path: "3/mic", family: "mic" },
    ];
    const groups = [...groupFamilies(named)].map(([name, own]) => [
      name,
      own.map(({ path }) => path),
    ]);
    expect(groups).toStrictEqual([
      ["mic", ["1/mic", "2/mic"]],
      ["line", ["1/line"]],
    ]);
  });
});

test("frequencies are written with two or three figures", () => {
  expect(
    [20.4, 99.4, 99.6, 123.4, 999.4, 999.6, 1234, 9949, 9951, 12_345].map(formatHertz),
  ).toStrictEqual([
    "20 Hz",
    "99 Hz",
    "99.6 Hz",
    "123 Hz",
    "999 Hz",
    "1 kHz",
    "1.2 kHz",
    "9.9 kHz",
    "9.95 kHz",
    "12.3 kHz",
  ]);
});
