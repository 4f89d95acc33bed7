import { describe, expect, it } from "vitest";
import { findNewlyOdd } from "../../../src/history/order/find-newly-odd.js";
import type { RoundPath } from "../../../src/history/types.js";
import { family, round } from "../rounds-of.js";

const finding = {
  reading: "noise",
  against: "siblings",
  value: -80,
  expected: -100,
  deviation: 20,
  unit: "dB",
  score: 20,
  severity: "service",
  words: "noise 20 dB above its siblings",
} as const;

/** Ten paths of which some stand out. */
const paths = (odd: readonly number[]): readonly RoundPath[] =>
  family(10, (k) => (odd.includes(k) ? { findings: [finding] } : {}));

describe("findNewlyOdd", () => {
  const earlier = round("2030-04-02", paths([0]));

  it("reports a family of which more than a quarter stands out for the first time", () => {
    const [doubt, ...more] = findNewlyOdd(round("2031-04-02", paths([0, 3, 4, 5])), earlier);
    expect(more).toEqual([]);
    expect(doubt).toMatchObject({ code: "many-newly-odd", of: 10, round: "2030-04-02-01" });
    expect(doubt).toHaveProperty("paths.length", 3);
  });

  it("says nothing about a few, nor of those that stood out before", () => {
    expect(findNewlyOdd(round("2031-04-02", paths([3, 4])), earlier)).toEqual([]);
    expect(findNewlyOdd(round("2031-04-02", paths([0, 3, 4])), earlier)).toEqual([]);
    const all = round("2030-04-02", paths([1, 2, 3, 4]));
    expect(findNewlyOdd(round("2031-04-02", paths([1, 2, 3, 4])), all)).toEqual([]);
  });

  it("counts those alone that were measured in both rounds", () => {
    const unusable = (those: readonly RoundPath[], which: readonly number[]) =>
      those.map((one, k) => (which.includes(k) ? { ...one, status: "unusable" as const } : one));
    const then = round("2030-04-02", unusable(paths([0]), [6, 7]));
    const now = round("2031-04-02", unusable(paths([0, 3, 4, 5, 6]), [8, 9]));
    const [doubt] = findNewlyOdd(now, then);
    expect(doubt).toMatchObject({ paths: ["4/mic", "5/mic", "6/mic"], of: 6 });
  });
});

describe("how many of a family are too many", () => {
  const stood = (count: number, odd: number, input = "mic") =>
    family(count, (k) => (k < odd ? { findings: [finding] } : {}), input);
  const told = (count: number, odd: number) =>
    findNewlyOdd(round("2031-04-02", stood(count, odd)), round("2030-04-02", stood(count, 0)));

  it("is more than a quarter, three at least, of four at least", () => {
    expect(told(3, 3)).toEqual([]);
    expect(told(4, 2)).toEqual([]);
    expect(told(4, 3)).toMatchObject([{ of: 4, family: "mic" }]);
    expect(told(11, 3)).toMatchObject([{ of: 11 }]);
    expect(told(12, 3)).toEqual([]);
    expect(told(12, 4)).toMatchObject([{ of: 12 }]);
  });

  it("is counted in each family by itself, among paths that the last round had", () => {
    const now = [...stood(8, 3), ...stood(8, 3, "line"), ...stood(8, 0, "tape")];
    const then = [...stood(8, 0), ...stood(8, 1, "line"), ...stood(8, 8, "tape")];
    expect(findNewlyOdd(round("2031-04-02", now), round("2030-04-02", then))).toEqual([
      {
        code: "many-newly-odd",
        family: "mic",
        paths: ["1/mic", "2/mic", "3/mic"],
        of: 8,
        round: "2030-04-02-01",
      },
    ]);
    const without = round("2030-04-02", stood(8, 0).slice(1));
    expect(findNewlyOdd(round("2031-04-02", stood(8, 3)), without)).toEqual([]);
  });

  it("counts no path for a remark", () => {
    const remark = { ...finding, severity: "remark" as const };
    const remarks = family(8, () => ({ findings: [remark] }));
    const plain = round("2030-04-02", stood(8, 0));
    expect(findNewlyOdd(round("2031-04-02", remarks), plain)).toEqual([]);
    const [doubt] = findNewlyOdd(round("2031-04-02", stood(8, 8)), round("2030-04-02", remarks));
    expect(doubt).toHaveProperty("paths.length", 8);
  });
});
