import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { computeStudentShare, getStudent95 } from "../../src/dsp/student.js";

// Source: scipy.stats.t.ppf(0.975, ν); tests/reference/scipy/student.py made the file.
const scipy: { freedom: number[]; quantile: number[] } = JSON.parse(
  readFileSync(new URL("../reference/scipy/student.json", import.meta.url), "utf8"),
);
const cases = scipy.freedom.map((freedom, i) => [freedom, scipy.quantile[i]] as const);

describe("getStudent95", () => {
  it.each(cases.filter(([freedom]) => freedom < 5))("is exact for ν = %d", (freedom, expected) => {
    expect(getStudent95(freedom)).toBeCloseTo(expected, 9);
  });

  it.each(cases.filter(([freedom]) => freedom >= 5))(
    "is as good as it claims to be, 0.2 percent, for ν = %d",
    (freedom, expected) => {
      expect(Math.abs(getStudent95(freedom) / expected - 1)).toBeLessThan(0.002);
    },
  );

  it.each([
    // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, column 0.975
    [10, 2.228],
    [15, 2.131],
    [20, 2.086],
    [30, 2.042],
    [100, 1.984],
  ])("is what the printed table has for ν = %i", (freedom, expected) => {
    expect(Math.abs(getStudent95(freedom) - expected)).toBeLessThan(0.0006);
  });

  it("takes a fraction below five for the whole number beneath it, and below one for one", () => {
    // The quantile falls with ν, so that rounding down never makes an interval too narrow.
    expect(getStudent95(3.9)).toBe(getStudent95(3));
    expect(getStudent95(0.5)).toBe(getStudent95(1));
  });
});

describe("computeStudentShare", () => {
  it.each([
    // scipy 1 − 2·stats.t.sf(t, ν)
    [2, 1, 0.7048327646991335],
    [1.5, 3, 0.7694161347551771],
    [0.3, 7, 0.2271099495978658],
    [2.5, 4, 0.9332334551880118],
    [1, 24, 0.672713118720215],
    [2.0639, 24, 0.9500001473461039],
  ])("is what scipy has within %d for ν = %i", (t, freedom, expected) => {
    expect(computeStudentShare(t, freedom)).toBeCloseTo(expected, 12);
  });

  it("has nothing within 0, and all of it far out", () => {
    expect(computeStudentShare(0, 5)).toBe(0);
    expect(computeStudentShare(1e12, 5)).toBeCloseTo(1, 12);
  });
});
