import { describe, expect, it } from "vitest";
import { isBound } from "../../src/measure/is-bound.js";
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
