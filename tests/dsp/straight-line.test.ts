import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { leastSquares, pairSlopes, theilSen } from "../../src/dsp/straight-line.js";

function reference(name: string) {
  return JSON.parse(readFileSync(new URL(`../reference/${name}`, import.meta.url), "utf8"));
}

describe("a least-squares line", () => {
  // NIST Statistical Reference Datasets, linear regression, "Norris": certified to 15 figures.
  const { x, y, certified } = reference("regression-norris.json");

  it("has the certified values of a reference data set to ten figures", () => {
    const line = leastSquares(x, y);
    const near = (value: number | undefined, truth: number) =>
      expect(Math.abs((value ?? Number.NaN) / truth - 1)).toBeLessThan(1e-10);
    near(line.slope, certified.slope);
    near(line.intercept, certified.intercept);
    near(line.slopeError, certified.slopeSd);
    near(line.interceptError, certified.interceptSd);
    near(line.residual, certified.residualSd);
  });

  it("keeps its slope where the points lie far from the origin", () => {
    // The same points a million further on: only the intercept may change.
    const line = leastSquares(
      x.map((value: number) => value + 1e6),
      y,
    );
    expect(Math.abs(line.slope / certified.slope - 1)).toBeLessThan(1e-10);
  });

  it("goes through two points, and nothing is known of its scatter", () => {
    expect(leastSquares([1, 3], [5, 9])).toEqual({ slope: 2, intercept: 3 });
  });

  it("is not available through one place", () => {
    expect(() => leastSquares([2, 2], [1, 3])).toThrow(RangeError);
  });
});

describe("a line by the median of the slopes", () => {
  const { lines } = reference("scipy/theil-sen.json");

  it.each(Object.keys(lines))("is that of scipy for the points “%s”", (name) => {
    const { x, y, slope, intercept } = lines[name];
    const line = theilSen(x, y);
    expect(line.slope).toBeCloseTo(slope, 10);
    expect(line.intercept).toBeCloseTo(intercept, 8);
  });

  it("is not moved by a quarter of the points", () => {
    const x = Array.from({ length: 12 }, (_, k) => k);
    const y = x.map((value) => (value % 4 === 1 ? 900 : 2 + 0.5 * value));
    expect(theilSen(x, y).slope).toBeCloseTo(0.5, 1);
  });
});

describe("sums of a line", () => {
  it("keep what large numbers that cancel would swallow", () => {
    // Neumaier's own example: 1 + 10¹⁰⁰ + 1 − 10¹⁰⁰ = 2, which plain sums make 0. The large ones lie
    // at the middle of x and do not turn the line, which is level at 2/4.
    expect(leastSquares([-1, 0, 1, 0], [1, 1e100, 1, -1e100])).toMatchObject({
      slope: 0,
      intercept: 0.5,
    });
  });

  it("are taken about both means", () => {
    // Deviations −20 to 20 and −50, −20, −10, 40, 40: 2400/1000, also 10¹⁵ away on both axes, where
    // products of anything but deviations have no room for their last digits.
    const at = (offset: number, values: readonly number[]) => values.map((v) => offset + v);
    const x = [0, 10, 20, 30, 40];
    const y = [0, 30, 40, 90, 90];
    for (const [right, up] of [
      [0, 0],
      [1e15, 0],
      [0, 1e15],
      [1e15, 1e15],
    ]) {
      expect(leastSquares(at(right, x), at(up, y)).slope).toBeCloseTo(2.4, 12);
    }
  });

  it.each([
    ["none", [], []],
    ["one", [2], [1]],
  ])("make no line of %s", (_, x, y) => {
    expect(() => leastSquares(x, y)).toThrow("a line needs two different points");
  });
});

describe("slopes between pairs", () => {
  it("leave out pairs at one place, and take every other once", () => {
    // (0, 0), (1, 2), (1, 5), (3, 2): 2, 5, 2/3, 0, −3/2; the second and third lie at one place
    expect(pairSlopes([0, 1, 1, 3], [0, 2, 5, 2])).toEqual([2, 5, 2 / 3, 0, -1.5]);
    expect(pairSlopes([4], [1])).toEqual([]);
  });
});
