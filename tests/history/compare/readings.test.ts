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
    expect(told(earlier, without).thd).not.toHaveProperty("because");
    expect(told(earlier, { ...without, absent: { thd: "too noisy" } })).toEqual({
      thd: { code: "not-now", because: { code: "as-recorded", reason: "too noisy" } },
    });
    const refusal = { code: "other-level" } as const;
    const refused = compareReadings([pair(1, -80, { value: -75 })], {
      ...conditions,
      refused: () => refusal,
    }).sides[0];
    expect(refused).toEqual({ readings: [], notCompared: { thd: refusal } });
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
    // At least −80 then: at most so much more now.
    expect(of({ bound: "lower" }, { value: -60 }).readings[0].bound).toBe("upper");
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

describe("what a family did together", () => {
  type Pair = readonly [then: Partial<Reading>, now: Partial<Reading>];
  const reading = (given: Partial<Reading>): Reading => ({
    value: 0,
    unit: "dB",
    uncertainty: 0,
    ...given,
  });
  const compare = (id: string, pairs: readonly Pair[], more: Partial<Conditions> = {}) =>
    compareReadings(
      pairs.map(([then, now], k): PathPair => {
        const side = (one: Partial<Reading>) => ({
          readings: { [id]: reading(one) },
          absent: {},
          curves: {},
        });
        return { path: `${k}/mic`, family: "mic", earlier: side(then), later: side(now) };
      }),
      { ...conditions, ...more },
    );
  const alike = (count: number, then: Partial<Reading>, now: Partial<Reading>) =>
    Array.from({ length: count }, (): Pair => [then, now]);

  // 4 dB of distortion are of no concern, of which a tenth is granted to the day: 0.4 dB.
  it("is told from 3.5 standard deviations on, up or down", () => {
    const of = (moved: number) => compare("thd", alike(4, {}, { value: moved })).shifts;
    for (const moved of [1.39, -1.39, 0]) expect(of(moved)).toEqual([]);
    expect(of(1.41)).toEqual([
      {
        reading: "thd",
        family: "mic",
        paths: 4,
        shift: 1.41,
        unit: "dB",
        uncertainty: expect.closeTo(0.8, 12),
        course: "worse",
      },
    ]);
    expect(of(-1.41)).toMatchObject([{ shift: -1.41, course: "better" }]);
  });

  it("is in doubt by the calibration, unless both rounds have the same one", () => {
    // Its own 0.3 and 0.4 dB of 95 %, of four paths: 0.5/2/√4; 0.4 and 0.3 dB that all share: 0.5/2.
    const pairs = alike(
      4,
      { uncertainty: 0.5, common: 0.4 },
      { value: 5, uncertainty: 0.5, common: 0.3 },
    );
    const doubt = (calibration: Conditions["calibration"]) =>
      compare("thd", pairs, { calibration }).shifts[0].uncertainty;
    expect(doubt("same")).toBeCloseTo(2 * Math.hypot(0.125, 0.4), 9);
    for (const one of ["other", "none"] as const) {
      expect(doubt(one)).toBeCloseTo(2 * Math.hypot(0.125, 0.25, 0.4), 9);
    }
  });

  it("is any at all of a reading of which every change is of concern and none is in doubt", () => {
    const of = (moved: number) => compare("something", alike(3, {}, { value: moved })).shifts;
    expect(of(0)).toEqual([]);
    expect(of(0.001)).toMatchObject([{ shift: 0.001, uncertainty: 0 }]);
  });

  it("is that of the larger crowd, as far as one difference can be told from another", () => {
    // Five moved by 5 dB and thousandths, four by more. 0.4 dB are granted, and what was measured: reaches
    // of five times that are 2 dB and 2.8 dB; 16 dB and 8 dB were either taken four times, or too little.
    const crowd = (apart: number, doubts: readonly [number, number]) =>
      compare(
        "thd",
        [5, 5.001, 5.002, 5.003, 5.004, 5, 5.001, 5.002, 5.003].map(
          (moved, k): Pair => [
            { uncertainty: doubts[0] },
            { value: moved + (k < 5 ? 0 : apart), uncertainty: doubts[1] },
          ],
        ),
      ).shifts[0].shift;
    expect(crowd(3, [0, 0])).toBeCloseTo(5.002, 9);
    expect(crowd(1, [0, 0])).toBeCloseTo(5.004, 9);
    // 0.48 and 0.64 dB of 95 %: 0.8 dB, 0.4 dB of one standard deviation.
    expect(crowd(5, [0.48, 0.64])).toBeCloseTo(5.002, 9);
    expect(crowd(2.5, [0.48, 0.64])).toBeCloseTo(5.004, 9);
  });

  it("says neither better nor worse of a gain, which is to be as its siblings'", () => {
    expect(compare("gain", alike(3, {}, { value: 5 })).shifts).toMatchObject([
      { course: "neither", shift: 5 },
    ]);
    // Siblings stand at 10 dB then and at 20 dB now; of two there is no middle.
    const courseOf = (then: number, now: number, siblings = 2) =>
      compare("gain", [
        [{ value: then }, { value: now }],
        ...alike(siblings, { value: 10 }, { value: 20 }),
      ]).sides[0].readings[0].course;
    expect(courseOf(15, 24)).toBe("better");
    expect(courseOf(15, 26)).toBe("worse");
    expect(courseOf(5, 16)).toBe("better");
    expect(courseOf(5, 14)).toBe("worse");
    expect(courseOf(15, 24, 1)).toBe("worse");
  });
});

describe("takes that repeat badly", () => {
  const take = { file: "a.wav", channel: 0, startSample: 0, driftPpm: 0, number: 1 };
  const of = (value: number, others: readonly number[] = []) => {
    const readings = (one: number) => ({ thd: { value: one, unit: "dB", uncertainty: 0 } });
    return {
      readings: readings(value),
      absent: {},
      curves: {},
      otherTakes: others.map((one) => ({
        ...take,
        status: "measured" as const,
        readings: readings(one),
      })),
    };
  };
  const pairs = (count: number): readonly PathPair[] =>
    Array.from({ length: count }, (_, k) => ({
      path: `${k}/mic`,
      family: "mic",
      // A variance of 4 of three takes on the first, in either round.
      earlier: of(3, k === 0 ? [1, 5] : []),
      later: of(3, k === 0 ? [1, 5] : []),
    }));
  const doubts = (count: number) =>
    compareReadings(pairs(count), conditions).sides.map(({ readings: [thd] }) => thd.uncertainty);

  it("are in the doubt of their own path, and of its sibling where those are too few", () => {
    // √(4 + 4), and a quarter of 4 dB for the day.
    const both = 2 * Math.hypot(Math.sqrt(8), 1);
    expect(doubts(2)).toEqual([expect.closeTo(both, 9), expect.closeTo(both, 9)]);
    const [first, ...others] = doubts(3);
    expect(first).toBeCloseTo(both, 9);
    for (const other of others) expect(other).toBeCloseTo(2, 9);
  });
});
