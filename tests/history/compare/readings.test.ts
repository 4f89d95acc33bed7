import { describe, expect, it } from "vitest";
import type { Conditions } from "../../../src/history/compare/conditions.js";
import type { PathPair } from "../../../src/history/compare/path-pairs.js";
import { compareReadings } from "../../../src/history/compare/readings.js";
import type { Reading } from "../../../src/measure/types.js";

// Expected: differences of the figures given; what all did alike is their median.

const conditions: Conditions = {
  calibration: "same",
  refused: () => undefined,
  differences: [],
  partial: [],
};

function pair(path: number, then: number, now: Partial<Reading> & { readonly value: number }) {
  const thd = (given: Partial<Reading> & { readonly value: number }): Reading => ({
    unit: "dB",
    uncertainty: 0.1,
    ...given,
  });
  const side = (reading: Reading) => ({ readings: { thd: reading }, absent: {}, curves: {} });
  const both = { earlier: side(thd({ value: then })), later: side(thd(now)) };
  return { path: `${path}/mic`, family: "mic", ...both } satisfies PathPair;
}

describe("compareReadings", () => {
  it("takes off what three siblings did alike, and of two knows no crowd", () => {
    const family = (count: number) =>
      Array.from({ length: count }, (_, k) => pair(k, -80, { value: -75 + 0.01 * k }));
    const own = (count: number) =>
      compareReadings(family(count), conditions).sides.map(({ readings: [thd] }) => thd);
    for (const thd of own(3)) {
      expect(thd.shift).toBeCloseTo(5.01, 6);
      expect(Math.abs(thd.own)).toBeLessThan(0.02);
      expect(thd.real).toBe(false);
    }
    for (const thd of own(2)) {
      expect(thd).not.toHaveProperty("shift");
      expect(thd.own).toBeCloseTo(5, 1);
    }
  });

  it("counts only siblings with a definite difference into what all did", () => {
    const family = [0, 1, 2, 3, 4].map((k) => pair(k, -80, { value: -70 + 0.01 * k }));
    const drowned = pair(5, -80, { value: -60, bound: "upper", limitedBy: "noise" });
    const { shifts } = compareReadings([...family, drowned], conditions);
    expect(shifts).toHaveLength(1);
    expect(shifts[0]).toMatchObject({ reading: "thd", family: "mic", paths: 5, course: "worse" });
    expect(shifts[0].shift).toBeCloseTo(10.02, 6);
  });
});

describe("a reading that only one of two rounds has", () => {
  it("is reported with the round that lacks it, and with neither where both do", () => {
    const without = { readings: {}, absent: {}, curves: {} };
    const { earlier, later, ...rest } = pair(1, -80, { value: -75 });
    const told = (then: PathPair["earlier"], now: PathPair["later"]) => {
      const pairs = [{ ...rest, earlier: then, later: now }, pair(2, -80, { value: -75 })];
      return compareReadings(pairs, conditions).sides[0].notCompared;
    };
    expect(told(earlier, without)).toMatchObject({ thd: { code: "not-now" } });
    expect(told(without, later)).toMatchObject({ thd: { code: "not-then" } });
    expect(told(without, without)).toEqual({});
  });
});

describe("what a change is known to", () => {
  const of = (then: Partial<Reading>, now: Partial<Reading>) => {
    const side = (reading: Partial<Reading>) => ({
      readings: { thd: { value: -80, unit: "dB", uncertainty: 0.1, ...reading } },
      absent: {},
      curves: {},
    });
    const both = { earlier: side(then), later: side(now) };
    const { sides } = compareReadings([{ path: "1/mic", family: "mic", ...both }], conditions);
    return sides[0];
  };

  // Without siblings a quarter of the floor of 4 dB is granted to the day: 1 dB, one standard deviation.
  it("is that of both measurements and of the day", () => {
    const [thd] = of({ uncertainty: 0.3 }, { uncertainty: 0.4 }).readings;
    expect(thd.uncertainty).toBeCloseTo(2 * Math.hypot(0.5 / 2, 1), 9);
  });

  it("leaves out what the calibration put into both alike", () => {
    const shared = { uncertainty: 0.5, common: 0.4 };
    const [thd] = of(shared, shared).readings;
    expect(thd.uncertainty).toBeCloseTo(2 * Math.hypot(Math.hypot(0.3, 0.3) / 2, 1), 9);
  });

  it("is the day's alone where one of the two is a bound, which is told", () => {
    const [thd] = of({}, { value: -60, bound: "upper", uncertainty: 6 }).readings;
    expect(thd.uncertainty).toBeCloseTo(2, 9);
    expect(thd.bound).toBe("upper");
    const [turned] = of({ bound: "upper", uncertainty: 6 }, { value: -60 }).readings;
    expect(turned.bound).toBe("lower");
    // At most −80 then, at least −60 now: at least 20 dB more.
    const [apart] = of({ bound: "upper" }, { value: -60, bound: "lower" }).readings;
    expect(apart).toMatchObject({ bound: "lower", difference: 20 });
    expect(of({}, {}).readings[0]).not.toHaveProperty("bound");
  });

  it("is nothing where noise hid it both times, and the units say what they are", () => {
    const hidden = { bound: "upper", uncertainty: 6 } as const;
    expect(of(hidden, hidden).notCompared).toEqual({ thd: { code: "noise-both-times" } });
    expect(of({}, { unit: "%" }).notCompared).toEqual({
      thd: { code: "other-unit", earlier: "dB", later: "%" },
    });
  });
});
