import { median } from "./robust.js";

/** A straight line through points, `y = intercept + slope·x`. */
export interface StraightLine {
  readonly slope: number;
  readonly intercept: number;
}

/** A least-squares line with what its scatter says of it. */
export interface FittedLine extends StraightLine {
  /** Standard errors; absent for two points, which any line meets. */
  readonly slopeError?: number;
  readonly interceptError?: number;
  /** Residual standard deviation; absent for two points. */
  readonly residual?: number;
}

/**
 * Ordinary least squares. Sums are taken about the means, in two passes and with the lost parts of
 * the means put back (Neumaier's summation), so that large offsets cost no figures.
 *
 * @param x at least two different values
 * @param y as many
 * @throws RangeError for fewer than two points, or all at one x
 * @example
 * leastSquares([0, 1, 2], [1, 3, 5]).slope; // 2
 */
export function leastSquares(x: readonly number[], y: readonly number[]): FittedLine {
  const count = x.length;
  const [middleX, middleY] = [sum(x) / count, sum(y) / count];
  const spread = sum(x.map((value) => (value - middleX) ** 2));
  if (count < 2 || !(spread > 0)) throw new RangeError("a line needs two different points");
  const slope = sum(x.map((value, i) => (value - middleX) * (y[i] - middleY))) / spread;
  const intercept = middleY - slope * middleX;
  if (count === 2) return { slope, intercept };
  const squares = sum(y.map((value, i) => (value - middleY - slope * (x[i] - middleX)) ** 2));
  const residual = Math.sqrt(squares / (count - 2));
  return {
    slope,
    intercept,
    slopeError: residual / Math.sqrt(spread),
    interceptError: residual * Math.sqrt(1 / count + middleX ** 2 / spread),
    residual,
  };
}

/**
 * The line whose slope is the median of the slopes between all pairs of points: nearly a third of
 * the points may be anywhere. The intercept is that of the median point.
 *
 * Source: P. K. Sen, "Estimates of the regression coefficient based on Kendall's tau", J. Am. Stat.
 * Assoc. 63, 1968.
 *
 * @param x at least two different values
 * @param y as many
 * @throws RangeError where no two points differ in x
 * @example
 * theilSen([0, 1, 2, 3, 4], [0, 1, 2, 3, 99]).slope; // 1
 */
export function theilSen(x: readonly number[], y: readonly number[]): StraightLine {
  const slope = median(pairSlopes(x, y));
  return { slope, intercept: median(y) - slope * median(x) };
}

/**
 * Slopes between all pairs of points that differ in x.
 *
 * @example
 * pairSlopes([0, 1, 3], [0, 2, 2]).toSorted(); // [0, 0.6666666666666666, 2]
 */
export function pairSlopes(x: readonly number[], y: readonly number[]): readonly number[] {
  return x.flatMap((one, i) =>
    x.slice(0, i).flatMap((other, k) => (one === other ? [] : [(y[i] - y[k]) / (one - other)])),
  );
}

/** A sum that keeps what rounding drops. */
function sum(values: readonly number[]): number {
  let total = 0;
  let lost = 0;
  for (const value of values) {
    const next = total + value;
    lost += Math.abs(total) >= Math.abs(value) ? total - next + value : value - next + total;
    total = next;
  }
  return total + lost;
}
