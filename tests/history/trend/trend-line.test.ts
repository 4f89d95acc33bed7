import { describe, expect, it, test } from "vitest";
import type { SeriesPoint } from "../../../src/history/trend/series.js";
import {
  computeCrossing,
  computeHeight,
  estimateFamilyScatter,
  estimateLineScatter,
  fitTrendLine,
} from "../../../src/history/trend/trend-line.js";

const points = (xs: readonly number[], ys: readonly number[], epochs: readonly number[] = []) =>
  xs.map((years, k): SeriesPoint => ({ round: k, years, y: ys[k], epoch: epochs[k] ?? 0 }));

const years = [-8, -6, -5, -3, -1, 0];
const twoEpochs = points(years, [1, 2.1, 2.4, 5.2, 6.1, 6.4], [0, 0, 0, 1, 1, 1]);

describe("fitTrendLine", () => {
  it("fits one slope and a height for each epoch", () => {
    // numpy.linalg.lstsq of [years, epoch 0, epoch 1]
    const line = fitTrendLine(twoEpochs);
    expect(line).toMatchObject({ points: 6, freedom: 3, lastCount: 3 });
    expect(line?.slope).toBeCloseTo(0.44285714, 7);
    expect(line?.squares).toBeCloseTo(0.03619048, 7);
    expect(line?.spread).toBeCloseTo(28 / 3, 12);
    expect(line?.lastYears).toBeCloseTo(-4 / 3, 12);
    expect(line?.lastY).toBeCloseTo(5.9, 12);
  });

  it("needs a degree of freedom, and years apart", () => {
    expect(fitTrendLine(points([-1, 0], [1, 2]))).toBeUndefined();
    expect(fitTrendLine(points([-2, -1, 0], [1, 2, 3]))?.freedom).toBe(1);
    expect(fitTrendLine(points([-2, -1, 0], [1, 2, 3], [0, 1, 1]))).toBeUndefined();
    expect(fitTrendLine(points([0, 0, 0, 0], [1, 2, 3, 4]))).toBeUndefined();
  });

  it("leaves out one of six that is more than five robust deviations off, and none of five", () => {
    const line = [0.1, -0.1, 0.1, -0.1, 0.1, -0.1].map((off, k) => k + off);
    const spoilt = (off: number, n: number) => {
      const ys = line.slice(0, n).map((y, k) => (k === 2 ? y + off : y));
      return fitTrendLine(points([-5, -4, -3, -2, -1, 0].slice(0, n), ys))?.points;
    };
    expect(spoilt(5, 6)).toBe(5);
    expect(spoilt(-5, 6)).toBe(5);
    expect(spoilt(0, 6)).toBe(6);
    expect(spoilt(5, 5)).toBe(5);
  });

  it("takes all where most lie on a line to the letter", () => {
    // Nothing says how far off is too far: Σ(x − x̄)(y − ȳ) = 3 of Σ(x − x̄)² = 28.
    const line = fitTrendLine(points([-6, -5, -4, -3, -2, -1, 0], [0, 0, 0, 0, 0, 0, 1]));
    expect(line?.points).toBe(7);
    expect(line?.slope).toBeCloseTo(3 / 28, 12);
  });

  it("takes no slope between two readings of one day", () => {
    const ys = [0.1, 0.9, 2.1, 2.9, 4.1, 4.3, 4.9, 6.1];
    const line = fitTrendLine(points([-6, -5, -4, -3, -2, -2, -1, 0], ys));
    expect(line?.points).toBe(8);
    const off = ys.map((y, k) => (k === 1 ? 20 : y));
    expect(fitTrendLine(points([-6, -5, -4, -3, -2, -2, -1, 0], off))?.points).toBe(7);
  });

  it("disowns by slopes and heights within epochs, not across them", () => {
    const steep = points(
      [-7, -6, -5, -4, -3, -2, -1, 0],
      [0.1, 0.9, 2.1, 2.9, 54.1, 54.9, 56.1, 56.9],
      [0, 0, 0, 0, 1, 1, 1, 1],
    );
    expect(fitTrendLine(steep)?.points).toBe(8);
    const off = steep.map((point, k) => (k === 5 ? { ...point, y: 70 } : point));
    expect(fitTrendLine(off)?.points).toBe(7);
    // A year apart each, up by one: the line of the others.
    expect(fitTrendLine(off)?.slope).toBeCloseTo(1, 1);
  });
});

describe("scatter about lines", () => {
  const line = { slope: 1, spread: 10, points: 5, lastYears: 0, lastY: 0, lastCount: 5 };

  it("of a family: the median variance over that of a χ² distribution", () => {
    // scipy.stats.chi2.median(3)/3 = 0.788658; Wilson and Hilferty's value is 0.7 % above it.
    const family = estimateFamilyScatter(
      [3, 12, 6].map((squares) => ({ ...line, squares, freedom: 3 })),
    );
    expect(Math.abs(family.deviation / Math.sqrt(2 / 0.788658) - 1)).toBeLessThan(0.005);
    expect(family.freedom).toBe(4.5);
    expect(estimateFamilyScatter([])).toEqual({ deviation: 0, freedom: 0 });
  });

  it("of a line: its own and its siblings', by their degrees of freedom", () => {
    const own = { ...line, squares: 6, freedom: 3 };
    const family = { deviation: 2, freedom: 5 };
    // (6 + 5 · 2²)/(3 + 5)
    const both = estimateLineScatter(own, family, 3);
    expect(both.freedom).toBe(8);
    expect(both.deviation).toBeCloseTo(Math.sqrt(26 / 8), 12);
    // eight degrees of freedom at most: (6 + 8 · 2²)/11
    const many = estimateLineScatter(own, { deviation: 2, freedom: 50 }, 9);
    expect(many.freedom).toBe(11);
    expect(many.deviation).toBeCloseTo(Math.sqrt(38 / 11), 12);
    const alone = estimateLineScatter(own, family, 2);
    expect(alone).toEqual({ deviation: Math.sqrt(2), freedom: 3 });
  });
});

describe("the height of a line", () => {
  const line = {
    slope: 0.5,
    squares: 0,
    freedom: 5,
    spread: 20,
    points: 6,
    lastYears: -2,
    lastY: 3,
    lastCount: 4,
  };
  const scatter = { deviation: 0.1, freedom: 5 };

  test("in a year", () => {
    expect([-2, 0, 4].map((at) => computeHeight(line, at))).toEqual([3, 4, 6]);
  });

  // Where |line − height| = t·s·√(1/n + (x − x̄)²/Σ(x − x̄)²): the roots of scipy.optimize.brentq, with
  // scipy.stats.t.ppf(0.975, 5) = 2.57058.
  test("is reached in an interval of 95 %, rising and falling alike", () => {
    const rising = computeCrossing(line, scatter, 6);
    expect(rising?.years).toBeCloseTo(4, 12);
    expect(rising?.from).toBeCloseTo(3.334997, 2);
    expect(rising?.until).toBeCloseTo(4.825716, 2);
    const falling = computeCrossing({ ...line, slope: -0.5 }, scatter, 0);
    expect(falling?.years).toBeCloseTo(4, 12);
    expect(falling?.from).toBeCloseTo(3.334997, 2);
    expect(falling?.until).toBeCloseTo(4.825716, 2);
  });

  test("is reached at no certain time where the slope is not certain", () => {
    // t·s/√Σ(x − x̄)² = 0.5 at s = 0.5 √20 / 2.57058 = 0.8699
    expect(computeCrossing(line, { deviation: 0.86, freedom: 5 }, 6)).toBeDefined();
    expect(computeCrossing(line, { deviation: 0.88, freedom: 5 }, 6)).toBeUndefined();
  });
});
