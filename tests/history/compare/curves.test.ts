import { describe, expect, it } from "vitest";
import type { Conditions } from "../../../src/history/compare/conditions.js";
import { compareCurves, computeCurveDifference } from "../../../src/history/compare/curves.js";
import type { PathPair } from "../../../src/history/compare/path-pairs.js";
import type { Curve } from "../../../src/measure/types.js";

// Expected: the closed forms beside each case; the thresholds are those of the response's facets.

/** 24 points an octave from 20 Hz on, written with five figures as rounds keep them. */
const grid = (points: number, fromHz = 20) =>
  Array.from({ length: points }, (_, k) => Number((fromHz * 2 ** (k / 24)).toPrecision(5)));

function curve(x: readonly number[], yAt: (hz: number, k: number) => number): Curve {
  return {
    x,
    y: x.map(yAt),
    uncertainty: x.map(() => 0.02),
    xUnit: "Hz",
    yUnit: "dB",
  };
}

const nothing: Conditions = {
  calibration: "same",
  refused: () => undefined,
  differences: [],
  partial: [],
};

function pair(path: string, earlier: Curve, later: Curve): PathPair {
  const side = (response: Curve) => ({ readings: {}, absent: {}, curves: { response } });
  return { path, family: "mic", earlier: side(earlier), later: side(later) };
}

/** Small differences between siblings, the same every time. */
const jitter = (path: number, k: number) => 0.01 * Math.sin(7 * path + 3 * k);

describe("computeCurveDifference", () => {
  it("takes points of one grid as they are", () => {
    const x = [100, 200, 400];
    const found = computeCurveDifference(
      curve(x, (hz) => hz),
      curve(x, (hz) => 2 * hz),
    );
    expect(found).toMatchObject({ x, earlier: [100, 200, 400], later: [200, 400, 800] });
    // Two like uncertainties in quadrature.
    expect(found?.uncertainty).toEqual(x.map(() => expect.closeTo(0.02 * Math.SQRT2, 12)));
    expect(found?.bound).toEqual([undefined, undefined, undefined]);
  });

  it("reads the earlier between its points along log f, and leaves out what it does not reach", () => {
    const earlier = curve([100, 400, 1600], (hz) => Math.log2(hz));
    const found = computeCurveDifference(
      earlier,
      curve([50, 100.005, 200, 800, 1600, 1601], () => 0),
    );
    expect(found?.x).toEqual([100.005, 200, 800, 1600]);
    // A straight line over log f is met by its chords; a hundred-thousandth is the same frequency.
    const [first, ...rest] = found?.earlier ?? [];
    expect(first).toBe(Math.log2(100));
    expect(rest).toEqual(
      [Math.log2(200), Math.log2(800), Math.log2(1600)].map((y) => expect.closeTo(y, 12)),
    );
  });

  it("doubts the earlier between its points as much as the worse known of both", () => {
    const then = { ...curve([100, 400, 1600], () => 0), uncertainty: [0.1, 0.3, 0.2] };
    const now = { ...curve([200, 800], () => 0), uncertainty: [0.05, 0.05] };
    const both = computeCurveDifference(then, now)?.uncertainty;
    expect(both).toEqual([0.3, 0.3].map((doubt) => expect.closeTo(Math.hypot(doubt, 0.05), 12)));
    const falling = { ...then, uncertainty: [0.3, 0.1, 0.1] };
    expect(computeCurveDifference(falling, now)?.uncertainty[0]).toBeCloseTo(
      Math.hypot(0.3, 0.05),
      12,
    );
  });

  it("is a bound where one of both lies at its floor, and nothing where both do", () => {
    const x = [100, 200, 400, 800];
    const then = { ...curve(x, () => -80), floor: [-80, -80, -90, -90] };
    const now = { ...curve(x, () => -70), floor: [-70, -90, -70, -90] };
    expect(computeCurveDifference(then, now)?.bound).toEqual(["none", "lower", "upper", undefined]);
  });

  it("is a bound where one of both is, above its floor", () => {
    const x = [100, 200, 400];
    const then = { ...curve(x, () => -80), floor: [-99, -99, -99], uncertainty: [6, 0.1, 0.1] };
    const now = { ...curve(x, () => -70), floor: [-99, -99, -99], uncertainty: [0.1, 6, 0.1] };
    expect(computeCurveDifference(then, now)?.bound).toEqual(["lower", "upper", undefined]);
  });

  it("is absent where they have no frequency in common", () => {
    const low = curve([20, 40], () => 0);
    const high = curve([2000, 4000], () => 0);
    expect(computeCurveDifference(low, high)).toBeUndefined();
  });
});

describe("compareCurves", () => {
  /** Nine siblings, of which path 4 is changed by what is given, all by `common`. */
  function compare(
    changed: (hz: number, k: number) => number,
    common = 0,
    { x = grid(241), was = () => 0 }: { x?: readonly number[]; was?: typeof changed } = {},
  ) {
    const pairs = Array.from({ length: 9 }, (_, path) => {
      const is4 = path === 4;
      const now = (hz: number, k: number) => common + jitter(path, k) + (is4 ? changed(hz, k) : 0);
      const earlier = curve(grid(241), is4 ? was : () => 0);
      return pair(`${path}/mic`, earlier, curve(is4 ? x : grid(241), now));
    });
    return compareCurves(pairs, nothing);
  }
  const realParts = (found: ReturnType<typeof compare>) =>
    found.changes.map((parts) => parts.filter(({ real }) => real).map(({ part }) => part));

  it("finds what one path lost above 5 kHz, and nothing of its siblings", () => {
    const found = compare((hz) => (hz >= 5000 ? -3 : 0));
    expect(realParts(found)).toEqual([[], [], [], [], ["high"], [], [], [], []]);
    const [high] = found.changes[4].filter(({ part }) => part === "high");
    expect(high.own).toBeCloseTo(-3, 1);
    expect(high.difference).toBeCloseTo(high.later - high.earlier, 12);
    expect(high.course).toBe("worse");
    expect(found.shifts).toEqual([]);
  });

  it("takes off what all did alike, and says so once", () => {
    const found = compare((hz) => (hz < 100 ? -4 : 0), 1.5);
    expect(realParts(found)[4]).toEqual(["low"]);
    expect(found.changes[4].find(({ part }) => part === "low")?.own).toBeCloseTo(-4, 1);
    expect(found.shifts).toHaveLength(1);
    expect(found.shifts[0]).toMatchObject({ reading: "response", family: "mic", paths: 9 });
    expect(found.shifts[0].shift).toBeCloseTo(1.5, 1);
  });

  it("asks for five neighbours of 24 an octave that moved the same way", () => {
    const bump = (count: number) => (_: number, k: number) => (k >= 100 && k < 100 + count ? 3 : 0);
    expect(realParts(compare(bump(4)))[4]).toEqual([]);
    expect(realParts(compare(bump(5)))[4]).toEqual(["middle"]);
    // Up and down by turns is no change of a response.
    expect(realParts(compare((_, k) => (k % 2 === 0 ? 3 : -3)))[4]).toEqual([]);
  });

  it("names of a run the point that changed most", () => {
    const found = compare((_, k) => (k >= 100 && k < 105 ? 3 + (k === 103 ? 0.5 : 0) : 0));
    const change = found.changes[4].find(({ part }) => part === "middle");
    expect(change?.atHz).toBe(grid(241)[103]);
  });

  it("puts curves of other frequencies together by four figures", () => {
    const found = compare((hz) => (hz >= 5000 ? -3 : 0), 1.5, { x: grid(217, 40) });
    expect(realParts(found)).toEqual([[], [], [], [], ["high"], [], [], [], []]);
    const high = found.changes[4].find(({ part }) => part === "high");
    expect(high?.own).toBeCloseTo(-3, 1);
    expect(high?.shift).toBeCloseTo(1.5, 1);
  });

  it("finds what all did alike beside frequencies that only one of them was read at", () => {
    const pairs = Array.from({ length: 9 }, (_, path) => {
      const x = path === 4 ? grid(265, 10) : grid(241);
      const now = curve(x, (_hz, k) => 1.5 + jitter(path, k));
      return pair(
        `${path}/mic`,
        curve(x, () => 0),
        now,
      );
    });
    const { shifts, changes } = compareCurves(pairs, nothing);
    expect(shifts).toMatchObject([{ paths: 9, shift: expect.closeTo(1.5, 1) }]);
    // Below 20 Hz it has no siblings to be held against: it moved by all that it moved.
    expect(changes[4].find(({ part }) => part === "low")).not.toHaveProperty("shift");
  });

  it("calls it better where a path comes back to its siblings", () => {
    const bent = (hz: number) => (hz >= 5000 ? -3 : 0);
    const [high] = compare(() => 0, 0, { was: bent }).changes[4].filter(({ real }) => real);
    expect(high).toMatchObject({ part: "high", course: "better" });
  });

  it("leaves a path out of which one round has no such curve, or in another unit", () => {
    const flat = curve(grid(60), () => 0);
    const whole = pair("1/mic", flat, flat);
    const before = { ...whole, earlier: { ...whole.earlier, curves: {} } };
    const inOther = pair("2/mic", { ...flat, yUnit: "%" }, flat);
    expect(compareCurves([before, inOther], nothing).changes).toEqual([[], []]);
  });

  it("leaves out curves that only describe where what became of a path is enough", () => {
    const [flat, rising] = [curve(grid(60), () => 0), curve(grid(60), () => 30)];
    const side = { readings: {}, absent: {}, curves: { distortion: flat, harmonic2: flat } };
    const later = { ...side, curves: { distortion: rising, harmonic2: rising } };
    const pairs = [{ path: "1/mic", family: "mic", earlier: side, later }];
    const named = (...which: Parameters<typeof compareCurves>[2][]) => {
      const [found] = compareCurves(pairs, nothing, ...which).changes;
      return [...new Set(found.map((change) => change.curve))];
    };
    expect(named()).toEqual(["distortion", "harmonic2"]);
    expect(named("telling")).toEqual(["distortion"]);
    // What is left out says neither better nor worse of anything.
    const worse = { ...side, curves: { harmonic2: rising } };
    const [found] = compareCurves([{ ...pairs[0], later: worse }], nothing).changes;
    expect(found.map(({ real, course }) => ({ real, course }))).toEqual([
      { real: true, course: "neither" },
    ]);
  });

  it("leaves out of telling curves what did not change for real, and nothing else", () => {
    // Higher by 20 dB at so many neighbouring points of 24 an octave: five make a change real.
    const raised = (points: number) => {
      const x = grid(60);
      return curve(x, (hz) => (hz >= x[20] && hz < x[20 + points] ? 20 : 0));
    };
    const isReal = [0, 1, 4, 5, 6, 12].map((points) => {
      const pairs = [
        pair(
          "1/mic",
          curve(grid(60), () => 0),
          raised(points),
        ),
      ];
      const [all] = compareCurves(pairs, nothing).changes;
      const [told] = compareCurves(pairs, nothing, "telling").changes;
      expect(told.filter(({ real }) => real)).toEqual(all.filter(({ real }) => real));
      expect(told.length > 0).toBe(told.some(({ real }) => real));
      return told.length > 0;
    });
    expect(isReal).toEqual([false, false, false, true, true, true]);
  });

  it("leaves a path out whose curve cannot be compared", () => {
    const pairs = [
      pair(
        "1/mic",
        curve(grid(60), () => 0),
        curve(grid(60), () => 3),
      ),
    ];
    const refused = { ...nothing, refused: () => ({ code: "other-level" as const }) };
    expect(compareCurves(pairs, refused).changes).toEqual([[]]);
  });
});

describe("two curves of other frequencies", () => {
  const at = (hz: number, floor?: readonly number[]) =>
    computeCurveDifference(
      { ...curve([100, 400, 1600], (x) => Math.log2(x)), ...(floor && { floor }) },
      curve([hz, 5000], () => 0),
    );

  it("count a frequency as the same within one part in ten thousand", () => {
    for (const [hz, same] of [
      [99.995, 100],
      [399.98, 400],
      [400.02, 400],
      [1600.1, 1600],
    ]) {
      expect(at(hz)?.earlier).toEqual([Math.log2(same)]);
    }
    for (const hz of [99.98, 1600.2]) expect(at(hz)).toBeUndefined();
    // Further off it is read between the points.
    for (const hz of [399.9, 400.1]) {
      expect(at(hz)?.earlier[0]).toBeCloseTo(Math.log2(hz), 12);
      expect(at(hz)?.earlier[0]).not.toBe(Math.log2(400));
    }
  });

  it("are a bound where either point that it is read between lies at its floor", () => {
    const y = [100, 400, 1600].map(Math.log2);
    const floors = (...drowned: readonly number[]) =>
      y.map((value, k) => (drowned.includes(k) ? value : -99));
    expect(at(200, floors(0))?.bound).toEqual(["lower"]);
    expect(at(200, floors(1))?.bound).toEqual(["lower"]);
    expect(at(200, floors(2))?.bound).toEqual([undefined]);
    expect(at(400, floors(0, 2))?.bound).toEqual([undefined]);
    expect(at(100, floors(0))?.bound).toEqual(["lower"]);
  });

  it("are none without a point", () => {
    const [none, some] = [curve([], () => 0), curve([100], () => 0)];
    expect(computeCurveDifference(none, some)).toBeUndefined();
    expect(computeCurveDifference(some, none)).toBeUndefined();
    expect(computeCurveDifference(none, none)).toBeUndefined();
    // One point alone is a curve of one.
    expect(
      computeCurveDifference(
        some,
        curve([100.001], () => 3),
      )?.later,
    ).toEqual([3]);
  });
});

describe("changes of a curve with a point or two an octave", () => {
  // So few points an octave that each may change by itself; 0.6 dB of no concern (the response's
  // facets), of which a quarter is granted from day to day where there are no siblings.
  const x = [125, 249, 250, 4999, 5000, 10_000];
  const one = (now: readonly number[], parts: Partial<Curve> = {}, past: Partial<Curve> = {}) =>
    compareCurves(
      [
        pair(
          "1/mic",
          { ...curve(x, () => 0), ...past },
          { ...curve(x, (_, k) => now[k]), ...parts },
        ),
      ],
      nothing,
    ).changes[0];
  const places = (...now: readonly number[]) => one(now).map(({ part, atHz }) => [part, atHz]);

  it("are the largest below 250 Hz, below 5 kHz and above", () => {
    expect(places(1, 2, 3, 4, 5, 1)).toEqual([
      ["low", 249],
      ["middle", 4999],
      ["high", 5000],
    ]);
    expect(places(-5, 2, -6, 4, 5, -9)).toEqual([
      ["low", 125],
      ["middle", 250],
      ["high", 10_000],
    ]);
  });

  it("are judged by both measurements and what is granted", () => {
    const [low] = one([1, 2, 0, 0, 0, 0]);
    expect(low).toMatchObject({ earlier: 0, later: 2, difference: 2, own: 2, unit: "dB" });
    expect(low).not.toHaveProperty("shift");
    expect(low).not.toHaveProperty("bound");
    // Twice the standard deviation: 0.02 dB √2 of 95 %, and a quarter of 0.6 dB.
    expect(low.uncertainty).toBeCloseTo(2 * Math.hypot(0.01 * Math.SQRT2, 0.15), 9);
  });

  it("of a point that lies at its floor are bounds, and none where it does in both rounds", () => {
    const floor = (...drowned: readonly number[]) =>
      x.map((_, k) => (drowned.includes(k) ? 99 : -99));
    const now = [1, 20, 0, 0, 0, 0];
    const [fell] = one(now, { floor: floor(1) });
    expect(fell).toMatchObject({ atHz: 249, bound: "upper", uncertainty: expect.closeTo(0.3, 9) });
    // A rise to a bound from above is none.
    expect(fell.real).toBe(false);
    const [rose] = one(now, {}, { floor: floor(1) });
    expect(rose).toMatchObject({ bound: "lower", real: true });
    const [other] = one(now, { floor: floor(1) }, { floor: floor(1) });
    expect(other).toMatchObject({ atHz: 125 });
    expect(other).not.toHaveProperty("bound");
  });

  it("of a path come nearer to its siblings, or go away from them", () => {
    const courseOf = (was: number, is: number) => {
      const pairs = Array.from({ length: 5 }, (_, path) =>
        pair(
          `${path}/mic`,
          curve(x, () => (path === 0 ? was : 5)),
          curve(x, () => (path === 0 ? is : 7)),
        ),
      );
      return compareCurves(pairs, nothing).changes[0][0].course;
    };
    // Siblings went from 5 to 7 dB.
    expect(courseOf(2, 7)).toBe("better");
    expect(courseOf(2, 9.9)).toBe("better");
    expect(courseOf(2, 10.1)).toBe("worse");
    expect(courseOf(2, 4.1)).toBe("better");
    expect(courseOf(2, 3.9)).toBe("worse");
    expect(courseOf(5, 10)).toBe("worse");
  });

  it("keep to their own frequency where two points of a curve lie as close as four figures", () => {
    const close = [1000, 1000.04, 2000, 4000];
    const pairs = Array.from({ length: 3 }, (_, path) =>
      pair(
        `${path}/mic`,
        curve(close, () => 0),
        curve(close, (hz) => (hz < 1500 ? 1 : hz < 3000 ? 5 : 2)),
      ),
    );
    const { shifts, changes } = compareCurves(pairs, nothing);
    expect(shifts).toMatchObject([{ atHz: 2000, shift: 5, paths: 3 }]);
    for (const [middle] of changes) expect(middle.own).toBe(0);
  });
});

describe("what a family did together", () => {
  /** Nine paths whose curves all moved by the same, 24 points an octave. */
  const shifts = (moved: (k: number) => number, count = 48) =>
    compareCurves(
      Array.from({ length: 9 }, (_, path) =>
        pair(
          `${path}/mic`,
          curve(grid(count), () => 0),
          curve(grid(count), (_hz, k) => moved(k)),
        ),
      ),
      nothing,
    ).shifts;

  it("is real from 3.5 standard deviations on, of a tenth of what is of no concern", () => {
    // 3.5 · 0.06 dB = 0.21 dB, and twice 0.06 dB for 95 %.
    expect(shifts(() => 0.209)).toEqual([]);
    expect(shifts(() => -0.209)).toEqual([]);
    for (const moved of [0.211, -0.211]) {
      expect(shifts(() => moved)).toMatchObject([
        { shift: moved, uncertainty: expect.closeTo(0.12, 12), course: "neither", unit: "dB" },
      ]);
    }
  });

  it("holds over five neighbours of 24 an octave that moved the same way", () => {
    const run =
      (from: number, to: number, value = 1) =>
      (k: number) =>
        k >= from && k < to ? value : 0;
    expect(shifts(run(20, 24))).toEqual([]);
    expect(shifts(run(20, 25))).toHaveLength(1);
    expect(shifts(run(43, 48))).toHaveLength(1);
    expect(shifts(run(0, 5))).toHaveLength(1);
    expect(shifts(run(0, 4))).toEqual([]);
    // Neither up and down in a row, nor with a gap, are five the same way.
    expect(shifts((k) => run(20, 24)(k) + run(24, 28, -1)(k))).toEqual([]);
    expect(shifts((k) => run(20, 24)(k) + run(25, 29)(k))).toEqual([]);
  });

  it("is told at the point that moved most, up or down", () => {
    const at = (moved: (k: number) => number) =>
      shifts(moved).map(({ atHz, shift }) => [atHz, shift]);
    expect(at((k) => (k === 30 ? 2 : 1))).toEqual([[grid(48)[30], 2]]);
    expect(at((k) => (k === 30 ? -2 : -1))).toEqual([[grid(48)[30], -2]]);
    expect(at((k) => (k < 20 ? 1 : k < 40 ? -1.5 : 0))).toEqual([[grid(48)[20], -1.5]]);
    expect(at(() => 1)).toEqual([[grid(48)[0], 1]]);
  });
});

describe("a run of neighbours on one path", () => {
  // Twelve points, 24 an octave, of which five make a change; the curve itself is far from nothing.
  const were = (k: number) => 50 + k;
  const of = (moved: readonly number[], fromHz = 1000, id = "response") => {
    const x = grid(moved.length, fromHz);
    const side = (y: (k: number) => number) => ({
      readings: {},
      absent: {},
      curves: { [id]: curve(x, (_, k) => y(k)) },
    });
    const [found] = compareCurves(
      [
        {
          path: "1/mic",
          family: "mic",
          earlier: side(were),
          later: side((k) => were(k) + moved[k]),
        },
      ],
      nothing,
    ).changes;
    return found.map((one) => ({ ...one, k: x.indexOf(one.atHz) }));
  };
  const still = Array.from({ length: 12 }, () => 0);
  /** These from a place on, nothing elsewhere. */
  const at = (place: number, ...moved: readonly number[]) =>
    still.map((_, k) => moved[k - place] ?? 0);

  it("is known by the one that moved least, and named after the one that moved most", () => {
    const [flat] = of(at(3, 1, 1, 1, 1, 1));
    for (const moved of [
      [1, 2, 3, 2.5, 1.5],
      [3, 2, 1, 2.5, 1.5],
      [1.5, 2, 2.5, 3, 1],
      [2, 1, 1.5, 2.5, 3],
    ]) {
      for (const sign of [1, -1]) {
        const [found, ...more] = of(at(3, ...moved.map((one) => sign * one)));
        expect(more).toEqual([]);
        expect(found.k).toBe(3 + moved.indexOf(3));
        expect(found.difference).toBeCloseTo(sign * 3, 9);
        expect([found.earlier, found.later]).toEqual([were(found.k), were(found.k) + sign * 3]);
        expect(found.significance).toBeCloseTo(sign * flat.significance, 9);
        expect(found.real).toBe(true);
      }
    }
    expect(of(at(3, 1.1, 1.1, 1.1, 1.1, 1.1))[0].significance).toBeGreaterThan(flat.significance);
  });

  it("is the one of several whose least moved most", () => {
    const up = [1, 1, 1, 1, 1];
    const down = [-2, -2, -2, -2, -2];
    expect(of([...up, 0, ...down, 0])[0].difference).toBeCloseTo(-2, 9);
    expect(of([...down, 0, ...up, 0])[0].difference).toBeCloseTo(-2, 9);
    // Seven: the five of them that moved most.
    expect(of(at(2, 1, 2, 2, 2.5, 2, 2, 9))[0]).toMatchObject({ k: 5 });
  });

  it("is real where each of them moved for real", () => {
    const [found] = of(at(3, 2, 2, 0.1, 2, 2));
    expect(found.real).toBe(false);
    expect(of(at(3, 2, 2, 2, 2, 2))[0].real).toBe(true);
  });

  it("lies in one part of the band, and goes one way", () => {
    expect(of([1, 1, 1, 1, -1, -1, -1, -1, 1, 1, 1, 1])).toEqual([]);
    expect(of([1, 1, 1, 1, 1, -1, -1, -1, -1, 1, 1, 1])).toHaveLength(1);
    // 5 kHz lies between the eighth and the ninth point from 4 kHz on.
    const across = of([-1, 1, -1, -1, 1, 1, 1, 1, 1, 1, 1, 1], 4000);
    expect(across).toEqual([]);
    const whole = of([1, 1, 1, 2, 1, 1, 1, 1, 9, 9, 9, 9], 4000);
    expect(whole.map(({ part, k }) => [part, k])).toEqual([["middle", 3]]);
  });

  it("is for the worse wherever it goes where there are no siblings, or where more is worse", () => {
    expect(of(at(3, 2, 2, 2, 2, 2))[0].course).toBe("worse");
    expect(of(at(3, -2, -2, -2, -2, -2))[0].course).toBe("worse");
    const distortion = (by: number) =>
      of(
        still.map(() => by),
        1000,
        "distortion",
      )[0].course;
    expect([distortion(20), distortion(-20)]).toEqual(["worse", "better"]);
  });
});

describe("curves of one point", () => {
  /** Curves at 1 kHz alone, of which each point may change by itself; 0.6 dB are of no concern. */
  const compare = (
    moved: readonly number[],
    {
      doubt = 0,
      id = "response",
      later = {},
    }: { doubt?: number; id?: string; later?: Record<number, Partial<Curve>> } = {},
  ) =>
    compareCurves(
      moved.map((by, path): PathPair => {
        const side = (y: number, more: Partial<Curve> = {}) => ({
          readings: {},
          absent: {},
          curves: {
            [id]: {
              x: [1000],
              y: [y],
              uncertainty: [doubt],
              xUnit: "Hz",
              yUnit: "dB",
              ...more,
            } as Curve,
          },
        });
        return {
          path: `${path}/mic`,
          family: "mic",
          earlier: side(30),
          later: side(30 + by, later[path]),
        };
      }),
      nothing,
    );

  it("are known by both measurements and what is granted to the day", () => {
    // √2 · u/2 = 0.2 dB and 0.15 dB are 0.25 dB: 2.5 dB are as much of it as 1.5 dB of 0.15 dB.
    const significance = (moved: number, doubt: number) =>
      compare([moved], { doubt }).changes[0][0].significance;
    expect(significance(2.5, 0.4 / Math.SQRT2)).toBeCloseTo(significance(1.5, 0), 9);
    // Of a bound the measurement says nothing.
    const bound = (doubt: number) => {
      const then = compare([1.5], { doubt, later: { 0: { floor: [99] } } }).changes[0][0];
      expect(then.bound).toBe("upper");
      return then.significance;
    };
    expect(bound(0.5)).toBeCloseTo(significance(1.5, 0), 9);
  });

  it("move with the larger crowd, as far as one can be told from another", () => {
    // Five by 5 dB and thousandths, four by more. 0.06 dB are granted, and half of what was measured:
    // five times 0.06 dB, or of 0.404 dB, separate them.
    const shift = (apart: number, doubt: number) =>
      compare(
        [5, 5.001, 5.002, 5.003, 5.004, 5, 5.001, 5.002, 5.003].map((one, k) =>
          k < 5 ? one : one + apart,
        ),
        { doubt },
      ).shifts[0].shift;
    expect(shift(0.5, 0)).toBeCloseTo(5.002, 9);
    expect(shift(0.2, 0)).toBeCloseTo(5.004, 9);
    const doubt = 0.8 / Math.SQRT2;
    expect(shift(3, doubt)).toBeCloseTo(5.002, 9);
    expect(shift(1.5, doubt)).toBeCloseTo(5.004, 9);
  });

  it("move together from 3.5 standard deviations on, each that is no bound", () => {
    expect(compare([0.2, 0.2, 0.2]).shifts).toEqual([]);
    expect(compare([0.22, 0.22, 0.22]).shifts).toEqual([
      {
        reading: "response",
        family: "mic",
        paths: 3,
        shift: expect.closeTo(0.22, 9),
        unit: "dB",
        uncertainty: expect.closeTo(0.12, 9),
        course: "neither",
        atHz: 1000,
      },
    ]);
    const hidden = compare([1, 1, 9, 1], { later: { 2: { floor: [99] } } });
    expect(hidden.shifts).toMatchObject([{ paths: 3, shift: 1 }]);
    expect(compare([1, 1, 9], { later: { 2: { floor: [99] } } }).shifts).toEqual([]);
    // Higher distortion is worse.
    const courses = [20, -20].map(
      (by) => compare([by, by, by], { id: "distortion" }).shifts[0].course,
    );
    expect(courses).toEqual(["worse", "better"]);
  });

  it("are left out where they are of no kind, or where the later round has none there", () => {
    expect(compare([9], { id: "something" }).changes).toEqual([[]]);
    expect(compare([9, 9], { later: { 0: { x: [3000] } } }).changes).toEqual([
      [],
      [expect.objectContaining({ difference: 9 })],
    ]);
    const flat = curve([1000], () => 0);
    const whole = pair(
      "1/mic",
      flat,
      curve([1000], () => 9),
    );
    const lost = { ...whole, later: { ...whole.later, curves: {} } };
    const { changes } = compareCurves([lost, whole], nothing);
    expect(changes.map(({ length }) => length)).toEqual([0, 1]);
  });
});

describe("curves of different frequencies in one family", () => {
  // Of six neighbours, 24 an octave, three paths have the upper three and three the lower three.
  const x = grid(6, 1000);
  const shifts = (moved: readonly number[]) =>
    compareCurves(
      Array.from({ length: 6 }, (_, path) => {
        const own = path < 3 ? x.slice(3) : x.slice(0, 3);
        return pair(
          `${path}/mic`,
          curve(own, () => 7),
          curve(own, (hz) => 7 + moved[x.indexOf(hz)]),
        );
      }),
      nothing,
    ).shifts;

  it("move together in the order of their frequencies", () => {
    expect(shifts([1, 1, 1, 1, 1, 0])).toMatchObject([{ shift: 1, paths: 3 }]);
    expect(shifts([0, 1, 1, 1, 1, 1])).toHaveLength(1);
    expect(shifts([1, 1, 1, 1, 0, 0])).toEqual([]);
    expect(shifts([1, 1, 0, 1, 1, 1])).toEqual([]);
  });

  it("have a place for each point, however many of one lie close together", () => {
    const [wide, narrow] = [
      [1000, 1000.04, 2000, 4000],
      [1000, 2000, 4000],
    ];
    for (const order of [
      [wide, narrow, narrow],
      [narrow, narrow, wide],
    ]) {
      const found = compareCurves(
        order.map((own, path) =>
          pair(
            `${path}/mic`,
            curve(own, () => 7),
            curve(own, (hz) => 7 + (hz < 1500 ? 1 : hz < 3000 ? 5 : 2)),
          ),
        ),
        nothing,
      );
      expect(found.shifts).toMatchObject([{ atHz: 2000, shift: 5, paths: 3 }]);
      for (const [middle] of found.changes) expect(middle.own).toBeCloseTo(0, 9);
    }
  });
});
