import { describe, expect, it } from "vitest";
import { ageingIndicators } from "../../../src/history/trend/ageing.js";
import { computeOutlook } from "../../../src/history/trend/outlook.js";
import type { PathTrend } from "../../../src/history/trend/types.js";

// Expected: by the rule that strips which will want the same within half as long again and a year are
// pulled once; worked by hand.

function trend(path: string, reading: string, years?: number, limit = "one"): PathTrend {
  const day = "2040-01-01";
  const limits = { name: limit, value: 1, side: "upper" as const };
  return {
    path,
    strip: path.split("/")[0],
    input: path.split("/")[1],
    family: path.split("/")[1],
    reading,
    unit: "Hz",
    rounds: 5,
    value: 0,
    perYear: 1,
    uncertainty: 0.1,
    significance: 9,
    significant: true,
    course: "worse",
    jumps: [],
    leftOut: [],
    ...(years === undefined
      ? {}
      : {
          crossing: {
            limit: limits,
            years,
            from: years - 1,
            until: years + 2,
            date: day,
            fromDate: day,
            untilDate: day,
          },
        }),
  };
}

const strips = (all: readonly PathTrend[]) => computeOutlook(all).map((one) => one.strips);

describe("computeOutlook", () => {
  it("puts together what comes within half as long again and a year", () => {
    // 4 · 1.5 + 1 = 7
    const until = (years: number) =>
      strips([trend("1/mic", "hum", 4), trend("2/mic", "hum", years)]);
    expect(until(7)).toEqual([["1", "2"]]);
    expect(until(7.1)).toEqual([["1"], ["2"]]);
  });

  it("gives the middle, the earliest and the latest, and the paths in their order", () => {
    const all = [trend("3/mic", "hum", 6), trend("1/mic", "hum", 4), trend("2/mic", "hum", 5)];
    expect(computeOutlook(all)).toMatchObject([
      { paths: ["3/mic", "1/mic", "2/mic"], years: 5, from: 3, until: 8, unit: "Hz" },
    ]);
  });

  it("keeps other readings and other limits apart, the soonest first", () => {
    const all = [
      trend("1/mic", "hum", 6),
      trend("2/mic", "headroom", 5),
      trend("3/mic", "hum", 4, "other"),
      trend("4/mic", "hum"),
    ];
    expect(computeOutlook(all).map(({ paths, years }) => [paths, years])).toEqual([
      [["3/mic"], 4],
      [["2/mic"], 5],
      [["1/mic"], 6],
    ]);
  });

  it("names a strip once however many of its inputs come", () => {
    expect(strips([trend("1/mic", "hum", 4), trend("1/line", "hum", 5)])).toEqual([["1"]]);
  });

  it("counts what wants the same parts once for a path, by what comes first", () => {
    const all = [trend("1/mic", "cornerLow", 8), trend("1/mic", "thd100", 4)];
    expect(computeOutlook(all).map(({ reading }) => reading)).toEqual(["thd100"]);
    const apart = [trend("1/mic", "cornerLow", 8), trend("1/mic", "hum", 4)];
    expect(computeOutlook(apart).map(({ reading }) => reading)).toEqual(["hum", "cornerLow"]);
  });

  it("is empty where nothing comes", () => {
    expect(computeOutlook([trend("1/mic", "hum")])).toEqual([]);
  });

  it("gives first what comes first in the middle, whichever has the earliest", () => {
    // Of 1 and 2.4 years the middle is 1.7.
    const all = [trend("1/mic", "hum", 1), trend("2/mic", "hum", 2.4), trend("3/mic", "thd", 1.2)];
    expect(computeOutlook(all).map(({ years }) => years)).toEqual([1.2, 1.7]);
  });
});

it("is open where one of those that are pulled together may never come", () => {
  const open = (...which: readonly number[]) =>
    computeOutlook(
      [4, 5].map((years, k) => {
        const one = trend(`${k + 1}/mic`, "hum", years);
        const { crossing } = one;
        return crossing && which.includes(k)
          ? { ...one, crossing: { ...crossing, open: true } }
          : one;
      }),
    );
  expect(open()[0]).not.toHaveProperty("open");
  for (const which of [[0], [1], [0, 1]]) expect(open(...which)).toMatchObject([{ open: true }]);
});

it("speaks of readings in the order of their kinds", () => {
  const orders = ageingIndicators.map(({ order }) => order);
  expect(orders).toEqual([...orders].sort((a, b) => a - b));
  expect(orders.length).toBeGreaterThan(5);
});
