import { median } from "../../dsp/robust.js";
import { leastSquares } from "../../dsp/straight-line.js";
import { getStudent95 } from "../../dsp/student.js";
import type { SeriesPoint } from "./series.js";

/** A line of one slope through epochs of different heights. */
export interface TrendLine {
  readonly slope: number;
  /** Residual sum of squares, and the degrees of freedom that it has. */
  readonly squares: number;
  readonly freedom: number;
  /** Σ(x − x̄)², each epoch about its own middle. */
  readonly spread: number;
  readonly points: number;
  /** The last epoch's middle and number of points. */
  readonly lastYears: number;
  readonly lastY: number;
  readonly lastCount: number;
}

/** Residuals this many robust deviations from the line do not count. */
const outlying = 5;
/** With fewer points nobody can say which of them is wrong. */
const leastToReject = 6;

/**
 * A line through the rounds: least squares over those that a line by the median of all slopes
 * (Theil and Sen) does not reject as outliers. The slopes are those between points of one epoch.
 *
 * @returns undefined if fewer than three points in epochs of two or more leave no line with a
 *   doubt that could be judged
 */
export function fitTrendLine(points: readonly SeriesPoint[]): TrendLine | undefined {
  const first = lineOf(points);
  if (first === undefined || points.length < leastToReject) return first;
  const slope = median(listSlopes(points));
  const heights = new Map<number, number>();
  for (const epoch of new Set(points.map((point) => point.epoch))) {
    const own = points.filter((point) => point.epoch === epoch);
    heights.set(epoch, median(own.map(({ y, years }) => y - slope * years)));
  }
  const residuals = points.map(
    ({ y, years, epoch }) => y - slope * years - (heights.get(epoch) ?? 0),
  );
  const scale = 1.4826 * median(residuals.map(Math.abs));
  if (scale === 0) return first;
  return lineOf(points.filter((_, i) => Math.abs(residuals[i]) <= outlying * scale)) ?? first;
}

/** Slopes between all points of one epoch. */
function listSlopes(points: readonly SeriesPoint[]): Float64Array {
  const slopes = new Float64Array((points.length * (points.length - 1)) / 2);
  let count = 0;
  for (let i = 0; i < points.length; i++) {
    const { y, years, epoch } = points[i];
    for (let k = 0; k < i; k++) {
      const other = points[k];
      if (other.epoch !== epoch || other.years === years) continue;
      slopes[count++] = (y - other.y) / (years - other.years);
    }
  }
  return slopes.subarray(0, count);
}

function lineOf(points: readonly SeriesPoint[]): TrendLine | undefined {
  const epochs = new Map<number, SeriesPoint[]>();
  for (const point of points) {
    const own = epochs.get(point.epoch);
    if (own === undefined) epochs.set(point.epoch, [point]);
    else own.push(point);
  }
  const centred: { x: number; y: number }[] = [];
  let last = { years: 0, y: 0, count: 0 };
  for (const own of epochs.values()) {
    const years = mean(own.map((point) => point.years));
    const y = mean(own.map((point) => point.y));
    centred.push(...own.map((point) => ({ x: point.years - years, y: point.y - y })));
    last = { years, y, count: own.length };
  }
  const spread = centred.reduce((sum, { x }) => sum + x * x, 0);
  const freedom = points.length - epochs.size - 1;
  if (freedom < 1 || !(spread > 0)) return undefined;
  const { slope } = leastSquares(
    centred.map(({ x }) => x),
    centred.map(({ y }) => y),
  );
  return {
    slope,
    squares: centred.reduce((sum, { x, y }) => sum + (y - slope * x) ** 2, 0),
    freedom,
    spread,
    points: points.length,
    lastYears: last.years,
    lastY: last.y,
    lastCount: last.count,
  };
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** How far points scatter about a line, and how well that is known. */
export interface ScatterEstimate {
  readonly deviation: number;
  readonly freedom: number;
}

/** Siblings' scatter counts for as many degrees of freedom at most. */
const mostPrior = 8;

/**
 * The scatter of siblings about their lines: the median of their variances, each divided by the
 * median of its chi-square distribution (Wilson and Hilferty's approximation).
 */
export function estimateFamilyScatter(lines: readonly TrendLine[]): ScatterEstimate {
  if (lines.length === 0) return { deviation: 0, freedom: 0 };
  const variances = lines.map(
    ({ squares, freedom }) => squares / freedom / (1 - 2 / (9 * freedom)) ** 3,
  );
  const total = lines.reduce((sum, { freedom }) => sum + freedom, 0);
  return { deviation: Math.sqrt(median(variances)), freedom: total / 2 };
}

/** A path's own scatter and its siblings', weighted by how well each is known. */
export function estimateLineScatter(
  { squares, freedom }: TrendLine,
  family: ScatterEstimate,
  siblings: number,
): ScatterEstimate {
  const prior = siblings < 3 ? 0 : Math.min(mostPrior, family.freedom);
  const sum = squares + prior * family.deviation ** 2;
  return { deviation: Math.sqrt(sum / (freedom + prior)), freedom: freedom + prior };
}

/** Value of a line, years after the last round. */
export function computeHeight({ lastY, lastYears, slope }: TrendLine, years: number): number {
  return lastY + slope * (years - lastYears);
}

/**
 * When a line reaches a height, with an interval of 95 %: all times at which the height is not
 * significantly off the line (Fieller's theorem; the middle of an epoch and the slope are
 * independent).
 *
 * @returns years after the last round; undefined if the slope is not certain enough for an end
 */
export function computeCrossing(
  line: TrendLine,
  { deviation, freedom }: ScatterEstimate,
  height: number,
): { readonly years: number; readonly from: number; readonly until: number } | undefined {
  const { slope, spread, lastY, lastYears, lastCount } = line;
  const reach = getStudent95(freedom) * deviation;
  const rise = height - lastY;
  const a = slope ** 2 - reach ** 2 / spread;
  if (!(a > 0)) return undefined;
  const root = Math.sqrt(
    Math.max(0, rise ** 2 * (reach ** 2 / spread) + (a * reach ** 2) / lastCount),
  );
  const ends = [(slope * rise - root) / a, (slope * rise + root) / a].map((t) => lastYears + t);
  return { years: lastYears + rise / slope, from: Math.min(...ends), until: Math.max(...ends) };
}
