import { describe, expect, test } from "vitest";
import type { Curve } from "../../src/measure/types.js";
import type { FamilyStats } from "../../src/rank/family-stats.js";
import { compareResponses, grantLowResponse } from "../../src/rank/responses.js";
import { measurement, reading } from "../helpers/families.js";

// What is usual is given by hand: 24 siblings at 0 dB, whose scatter is as good as none.

const band = Array.from({ length: 240 }, (_, k) => 20 * 2 ** (k / 24));
const below = Array.from({ length: 8 }, (_, k) => 8 + 1.25 * k);
const curve = (x: readonly number[], y: readonly number[]): Curve => ({
  x,
  y,
  uncertainty: x.map(() => 0.01),
  xUnit: "Hz",
  yUnit: "dB",
});
/** Decibels at some points from `at` on, nought elsewhere. */
const bump = (n: number, at: number, ...db: readonly number[]) =>
  Array.from({ length: n }, (_, k) => db[k - at] ?? 0);
const points = (n: number, median = 0) =>
  Array.from({ length: n }, () => ({ count: 24, median, scale: 0.01 }));

interface Given {
  readonly response?: readonly number[];
  readonly low?: readonly number[];
  /** The path's own corner and its uncertainty, hertz. */
  readonly corner?: readonly [hz: number, uncertainty: number];
  readonly usualCorner?: number;
  readonly median?: number;
  readonly lowCrowd?: boolean;
}

function found({ response, low, corner, usualCorner, median = 0, lowCrowd = true }: Given) {
  const usual: FamilyStats = {
    count: 24,
    readings:
      usualCorner === undefined ? {} : { cornerLow: { count: 24, median: usualCorner, scale: 0 } },
    curves: {
      response: { x: band, points: points(240, median) },
      ...(lowCrowd ? { responseLow: { x: below, points: points(8) } } : {}),
    },
    excess: 1,
  };
  const own = measurement(
    corner === undefined ? {} : { cornerLow: reading(corner[0], "Hz", corner[1]) },
    {
      response: curve(band, response ?? band.map(() => 0)),
      ...(low === undefined ? {} : { responseLow: curve(below, low) }),
    },
  );
  return compareResponses([{ path: "1/mic", measurement: own }], usual).flatMap(
    ({ part, finding }) => (finding ? [{ part, ...finding }] : []),
  );
}
const told = (given: Given) =>
  found(given).map(({ part, severity, deviation }) => [part, severity, deviation]);

describe("the response below the band", () => {
  const lost = (...db: readonly number[]) => bump(8, 2, ...db);

  test("is watched where three points lost a decibel, and never more than watched", () => {
    expect(told({ low: lost(-3, -3, -3) })).toStrictEqual([["below", "watch", -3]]);
    expect(told({ low: lost(-1.1, -1.1, -1.1) })).toStrictEqual([["below", "watch", -1.1]]);
    expect(told({ low: lost(-0.99, -0.99, -0.99) })).toStrictEqual([]);
    expect(told({ low: lost(-3, -3) })).toStrictEqual([]);
    expect(told({ low: bump(8, 5, -3, -3, -3) })).toStrictEqual([["below", "watch", -3]]);
    expect(told({ low: bump(8, 0, -3, -3, -3) })).toStrictEqual([["below", "watch", -3]]);
  });

  test("is no fault where it rose, nor where nobody has one to compare", () => {
    expect(told({ low: lost(3, 3, 3) })).toStrictEqual([]);
    expect(told({})).toStrictEqual([]);
    expect(told({ low: lost(-3, -3, -3), lowCrowd: false })).toStrictEqual([]);
    expect(told({ lowCrowd: false })).toStrictEqual([]);
  });

  test("says where, by the largest difference", () => {
    expect(found({ low: lost(-2, -3, -2.5) })).toMatchObject([
      { part: "below", reading: "response", value: -3, expected: 0, atHz: below[3] },
    ]);
  });

  test("is left to the band where that lost as well, audibly", () => {
    const low = lost(-3, -3, -3);
    const at = (db: number, from: number) => bump(240, from, db, db, db, db, db);
    expect(told({ low, response: at(-3, 0) })).toStrictEqual([["low", "service", -3]]);
    // 0.62 dB is 3.8 deviations of 0.163: a remark, which does not speak for it.
    expect(told({ low, response: at(-0.62, 0) })).toStrictEqual([
      ["low", "remark", -0.62],
      ["below", "watch", -3],
    ]);
    // What is lost elsewhere has nothing to do with it.
    expect(told({ low, response: at(-3, 120) })).toStrictEqual([
      ["middle", "service", -3],
      ["below", "watch", -3],
    ]);
  });

  describe("of a corner that has gone up, by a factor of 1.6 beyond doubt,", () => {
    const small = lost(-0.5, -0.5, -0.5);
    test.each([
      [3.31, 0.1, 2, 1],
      [3.29, 0.1, 2, 0],
      [3.5, 0.31, 2, 0],
      [3.5, 0.29, 2, 1],
      [0.9, 0, 0.5, 1],
      [0.7, 0, 0.5, 0],
    ])("%d ± %d Hz among %d Hz: %d", (hz, doubt, usualCorner, count) => {
      expect(found({ low: small, corner: [hz, doubt], usualCorner })).toHaveLength(count);
    });

    test("is watched from 0.3 dB on", () => {
      const moved = { corner: [4, 0.1], usualCorner: 2 } as const;
      expect(told({ low: lost(-0.31, -0.31, -0.31), ...moved })).toStrictEqual([
        ["below", "watch", -0.31],
      ]);
      expect(told({ low: lost(-0.29, -0.29, -0.29), ...moved })).toStrictEqual([]);
      expect(told({ low: lost(0.5, 0.5, 0.5), ...moved })).toStrictEqual([]);
      expect(told({ low: lost(-3, -3, -3), ...moved })).toStrictEqual([["below", "watch", -3]]);
    });

    test("is not where either corner is unknown", () => {
      expect(found({ low: small, corner: [4, 0.1] })).toStrictEqual([]);
      expect(found({ low: small, usualCorner: 2 })).toStrictEqual([]);
    });
  });
});

test.each([
  // Half of (20/ln 10)·0.12·u/(1 + u) with u the square of corner over frequency, 0.05 dB at least.
  [8, 8, 0.5],
  [8, 4, 0.2],
  [10, 20, 0.8],
])("at %d Hz a corner of %d Hz is granted what capacitors scatter by", (hz, corner, share) => {
  expect(grantLowResponse(hz, corner)).toBeCloseTo(((20 / Math.LN10) * 0.12 * share) / 2, 12);
});

test("no less than 0.025 dB is granted below the band, and as in it where no corner is known", () => {
  expect(grantLowResponse(8, 0.1)).toBe(0.025);
  for (const unknown of [undefined, 0, -1, Number.NaN]) {
    expect(grantLowResponse(8, unknown)).toBe(0.15);
  }
});

describe("the response within the band", () => {
  test("is that of a path without siblings' curves: none", () => {
    const one = { path: "1/mic", measurement: measurement({}, { response: curve(band, band) }) };
    const bare = { count: 3, readings: {}, curves: {}, excess: 1 };
    expect(compareResponses([one], bare)).toStrictEqual([]);
  });

  test("is counted from the siblings', wherever they lie", () => {
    expect(told({ response: band.map(() => 5), median: 5 })).toStrictEqual([]);
    expect(told({ response: band.map((_, k) => 5 + (k < 5 ? -3 : 0)), median: 5 })).toStrictEqual([
      ["low", "service", -3],
    ]);
  });

  test("may lie on a plateau in pieces: seven points of twelve at −3 dB, five at +1.5", () => {
    const mixed = band.map((_, k) => (k % 12 < 7 ? -3 : 1.5));
    expect(told({ response: mixed })).toStrictEqual(
      ["low", "middle", "high"].map((part) => [part, "service", 4.5]),
    );
    // Of half the points, the lower half: the middle of all lies between.
    const halves = band.map((_, k) => (k % 12 < 6 ? -3 : 4));
    expect(told({ response: halves })).toStrictEqual(
      ["low", "middle", "high"].map((part) => [part, "service", 7]),
    );
  });

  test("has a score by the weakest of five neighbours, wherever it is among them", () => {
    const score = (...db: readonly number[]) => found({ response: bump(240, 20, ...db) })[0].score;
    const weak = score(-3, -3, -3, -3, -3);
    for (const db of [
      [-9, -4, -3, -4, -9],
      [-3, -4, -9, -9, -9],
      [-9, -9, -9, -4, -3],
    ]) {
      expect(score(...db)).toBeCloseTo(weak, 9);
    }
  });

  test("is looked at as far as it reaches", () => {
    expect(told({ response: bump(240, 235, 3, 3, 3, 3, 3) })).toStrictEqual([
      ["high", "service", 3],
    ]);
    expect(told({ response: bump(240, 0, 3, 3, 3, 3, 3) })).toStrictEqual([["low", "service", 3]]);
  });
});
