import { describe, expect, it } from "vitest";
import { isBound } from "../../src/measure/is-bound.js";
import { readingKinds } from "../../src/measure/reading-kinds.js";
import type { Curve, Measurement } from "../../src/measure/types.js";
import {
  computeFamilyStats,
  getReferenceStats,
  groupFamilies,
} from "../../src/rank/family-stats.js";
import { family, measurement, reading } from "../helpers/families.js";

const members = (bounds: readonly boolean[]) =>
  bounds.map((bound, k) => ({
    path: `${k + 1}/mic`,
    measurement: measurement({
      thd: { ...reading(-100 + k), ...(bound ? ({ bound: "upper" } as const) : {}) },
    }),
  }));

describe("a reading of which siblings give bounds", () => {
  it("is hidden by the family from half of them on", () => {
    const isBounded = (...bounds: readonly boolean[]) =>
      computeFamilyStats(members(bounds))?.bounded?.has("thd");
    expect(isBounded(true, false, false, false)).toBe(false);
    expect(isBounded(true, true, false, false)).toBe(true);
    expect(isBounded(true, true, true, false)).toBe(true);
  });

  it("is known to lie below the highest bound", () => {
    // −100 and −98 are bounds, the values between and above are none
    const stats = computeFamilyStats(members([true, false, true, false]));
    expect(stats?.ceilings?.thd.value).toBe(-98);
  });

  it("is a bound too where noise limits it", () => {
    expect(isBound({ ...reading(-100), limitedBy: "noise" })).toBe(true);
    expect(isBound(reading(-100))).toBe(false);
  });
});

describe("a family", () => {
  it("has a usual from three paths on, of readings that three of them have", () => {
    const one = { path: "1/mic", measurement: measurement({ gain: reading(1) }) };
    const two = {
      path: "2/mic",
      measurement: measurement({ gain: reading(3), hiss: reading(-90) }),
    };
    const three = { ...two, path: "3/mic" };
    expect(computeFamilyStats([one, two])).toBeUndefined();
    const stats = computeFamilyStats([one, two, three]);
    expect(stats?.readings.gain).toMatchObject({ count: 3, median: 3 });
    expect(stats?.readings.hiss).toBeUndefined();
  });
});

describe("how much more than assumed a family scatters", () => {
  const judged = readingKinds.filter(
    ({ harm, values, least }) => harm !== "none" && !values && least > 0,
  );
  const others = readingKinds.filter((kind) => !judged.includes(kind));
  /** Seven paths, a kind's values so many of its floors apart. */
  const excessOf = (kinds: readonly (readonly [(typeof readingKinds)[number], number])[]) =>
    computeFamilyStats(
      Array.from({ length: 7 }, (_, k) => ({
        path: `${k + 1}/mic`,
        measurement: measurement(
          Object.fromEntries(
            kinds.map(([kind, floors]) => [kind.id, reading(k * floors * (kind.least || 1))]),
          ),
        ),
      })),
    )?.excess ?? Number.NaN;

  it("is in proportion to the scatter, and 1 where that is small", () => {
    const at = (floors: number) => excessOf(judged.slice(0, 5).map((kind) => [kind, floors]));
    expect(at(20) / at(10)).toBeCloseTo(2, 9);
    expect(at(10)).toBeGreaterThan(1);
    expect(at(1e-3)).toBe(1);
  });

  it("is told by five readings or more, and by none that does no harm", () => {
    expect(excessOf(judged.slice(0, 4).map((kind) => [kind, 10]))).toBe(1);
    const alone = excessOf(judged.slice(0, 5).map((kind) => [kind, 10]));
    const beside = excessOf([
      ...judged.slice(0, 5).map((kind) => [kind, 10] as const),
      ...others.map((kind) => [kind, 1e4] as const),
    ]);
    expect(beside).toBe(alone);
  });

  it("is the middle one of what the readings show: a fault moves a few of them", () => {
    const floors = [10, 10, 10, 1e4, 1e4];
    expect(excessOf(floors.map((own, k) => [judged[k], own]))).toBeCloseTo(
      excessOf(judged.slice(0, 5).map((kind) => [kind, 10])),
      9,
    );
  });
});

describe("the statistics of a family", () => {
  const of = (...all: readonly Measurement[]) =>
    all.map((one, k) => ({ path: `${k + 1}/mic`, measurement: one }));

  it("of phases are taken about their mean: 179° and −179° are neighbours", () => {
    const phase = (degrees: number) => reading(degrees, "°", 0.1);
    const paths = family([179, -179, -177].map((one) => measurement({ stereoPhase: phase(one) })));
    const [members] = groupFamilies([
      ...paths,
      { path: "4/mic", family: "mic", measurement: measurement({}) },
    ]).values();
    const values = members.flatMap(
      ({ measurement: { readings } }) => readings.stereoPhase?.value ?? [],
    );
    const [first] = values;
    expect(values.map((one) => one - first)).toStrictEqual([0, 2, 4]);
    expect(computeFamilyStats(members)?.readings.stereoPhase.count).toBe(3);
  });

  it("leave measurements without a phase as they are", () => {
    const paths = family([measurement({ gain: reading(1) })]);
    expect(groupFamilies(paths).get("mic")?.[0].measurement).toBe(paths[0].measurement);
  });

  it("have a curve that three of them have, as long as the longest", () => {
    const curve = (...y: readonly number[]): Curve => ({
      x: y.map((_, k) => 100 * (k + 1)),
      y,
      uncertainty: y.map(() => 0.1),
      xUnit: "Hz",
      yUnit: "dB",
    });
    const members = (...curves: readonly Curve[]) =>
      of(...curves.map((response) => measurement({}, { response })), measurement({}));
    const three = computeFamilyStats(members(curve(1, 5), curve(2, 6, 7), curve(4, 9)))?.curves;
    expect(three?.response.x).toStrictEqual([100, 200, 300]);
    expect(three?.response.points.map((point) => point?.median)).toStrictEqual([2, 6, undefined]);
    expect(computeFamilyStats(members(curve(1), curve(2)))?.curves).toStrictEqual({});
  });

  it("for one of two are the other's own: bounds, curves and values", () => {
    const bound = { ...reading(-90), bound: "upper" as const };
    const response: Curve = { x: [100], y: [3], uncertainty: [1], xUnit: "Hz", yUnit: "dB" };
    const two = of(measurement({}), measurement({ gain: reading(2), thd: bound }, { response }));
    expect(getReferenceStats(two, "1/mic")).toStrictEqual({
      count: 1,
      readings: {
        gain: { count: 1, median: 2, scale: 0 },
        thd: { count: 1, median: -90, scale: 0 },
      },
      bounded: new Set(["thd"]),
      curves: { response: { x: [100], points: [{ count: 1, median: 3, scale: 0 }] } },
      excess: 1,
    });
    // The path itself is never its own sibling.
    expect(getReferenceStats(two.slice(1), "2/mic")).toBeUndefined();
    expect(getReferenceStats(two.slice(1), "1/mic")).toBeUndefined();
  });

  describe("where most hide a reading", () => {
    const hidden = (value: number) => measurement({ thd: { ...reading(value), bound: "upper" } });
    const shown = (value: number) => measurement({ thd: reading(value) });
    const ceiling = (...all: readonly Measurement[]) =>
      computeFamilyStats(of(...all))?.ceilings?.thd;

    it("have the highest of their bounds, a dead path's aside", () => {
      // Four times 3 dB above the middle of −100 is −88: as high as a bound of the living is.
      const four = [hidden(-100), hidden(-100), hidden(-100), hidden(-100)];
      expect(ceiling(...four, hidden(-88))?.value).toBe(-88);
      expect(ceiling(...four, hidden(-87.9))?.value).toBe(-100);
      // Bounds that differ by more make the limit wider: 0, 10, 20 and 30 have a Qn of 10 dB and more.
      const wide = [0, 10, 20, 30].map((db) => hidden(-100 + db));
      expect(ceiling(...wide)?.value).toBe(-70);
      expect(ceiling(...wide, hidden(-60))?.value).toBe(-60);
    });

    it("have the scatter of three that show theirs, and none of fewer", () => {
      const bounds = [-100, -100, -100].map(hidden);
      // Qn of −s, 0, s is 2.2219 · 0.994 · s (Rousseeuw & Croux, 1993).
      expect(ceiling(...bounds, ...[-92, -90, -88].map(shown))?.scale).toBeCloseTo(
        2.2219 * 0.994 * 2,
        9,
      );
      expect(ceiling(...bounds, shown(-92), shown(-80))?.scale).toBe(0);
    });

    it("have none where the bounds are from below", () => {
      const least = (value: number) =>
        measurement({ thd: { ...reading(value), bound: "lower" as const } });
      const stats = computeFamilyStats(of(least(-90), least(-90), shown(-80)));
      expect(stats?.bounded?.has("thd")).toBe(true);
      expect(stats?.ceilings).toStrictEqual({});
    });
  });
});
