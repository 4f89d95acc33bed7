import { describe, expect, it } from "vitest";
import { isBound } from "../../src/measure/is-bound.js";
import { readingKinds } from "../../src/measure/reading-kinds.js";
import { computeFamilyStats } from "../../src/rank/family-stats.js";
import { measurement, reading } from "../helpers/families.js";

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
