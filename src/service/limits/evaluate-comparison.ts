import type { CurveColumn } from "./curve-columns.js";
import type { Judged } from "./judged.js";
import type { OperandValue } from "./operand-reader.js";
import type { Comparison, Relation } from "./types.js";
import { isDecibel } from "./units.js";

/** A comparison evaluated for one path. */
export interface ComparisonResult {
  readonly verdict: "pass" | "fail" | "undecided";
  /** The judged quantity, as an expression. */
  readonly quantity: string;
  readonly judged: Judged;
  readonly value: number;
  readonly relation: Relation;
  readonly bound: number;
  readonly unit: string;
  /** Expanded uncertainty (95 %) of value minus bound. */
  readonly uncertainty: number;
  /** Distance inside the limit, negative outside. */
  readonly slack: number;
  readonly limitedBy?: "noise" | "interface";
}

/** Trial distances of the true value beyond a bound: decibels, or parts of the value. */
const depths = [0, 0.5, 1, 2, 3, 6, 10, 20, 40, 80, 160];

/**
 * Judges a value by its limit with a guard band on both sides: it passes if inside the limit by its
 * expanded uncertainty or more, fails if outside by as much, and is undecided in between. That is
 * guarded acceptance and guarded rejection with a guard band of once the expanded uncertainty (JCGM
 * 106:2012, 8.3.2 and 8.3.3), the decision rule of ISO 14253-1 in its editions up to 2013. Clause
 * numbers from memory.
 *
 * The uncertainty is that of value minus limit: each figure's own part is propagated through the
 * expression separately, a part shared by several figures moves them together, and the
 * contributions add in quadrature (JCGM 100, 5.1.2). Contributions are differences over the whole
 * interval, the larger of both directions, so that the kink of `abs` hides none. A figure that is
 * only a bound (set by noise) is decided if every true value beyond the bound gives the same
 * verdict.
 *
 * @param values of the limit's figures, in order
 * @returns undefined if the expression has no finite value, e.g. divides by zero
 */
export function evaluateComparison(
  comparison: Comparison,
  values: readonly OperandValue[],
): ComparisonResult | undefined {
  const { relation, unit, quantity, judged } = comparison;
  const nominal = values.map(({ value }) => value);
  const uncertainty = uncertaintyOf(comparison, values);
  const at = slackAt(comparison, nominal);
  if (at === undefined || !Number.isFinite(uncertainty)) return undefined;
  const { value, bound, slack } = at;
  if (values.every((one) => one.bound === undefined)) {
    const verdict = decide(slack, uncertainty, relation);
    return { verdict, quantity, judged, value, bound, slack, relation, unit, uncertainty };
  }
  const verdicts = new Set(
    beyondBounds(values).map((tried) => {
      const slack = slackAt(comparison, tried);
      return slack === undefined ? "undecided" : decide(slack.slack, uncertainty, relation);
    }),
  );
  const [only] = verdicts;
  const verdict = verdicts.size === 1 && only !== undefined ? only : "undecided";
  const bounded = values.find((one) => one.bound !== undefined && one.limitedBy !== undefined);
  return {
    verdict,
    quantity,
    judged,
    ...at,
    relation,
    unit,
    uncertainty,
    ...(verdict === "undecided" && bounded?.limitedBy ? { limitedBy: bounded.limitedBy } : {}),
  };
}

/**
 * How far each point of a curve is inside each comparison of a limit, negative outside.
 *
 * @param columns the limit's figures, in order
 * @returns one list per comparison, in their order
 */
export function listSlacks(
  comparisons: readonly Comparison[],
  columns: readonly CurveColumn[],
): readonly Float64Array[] {
  const { length } = columns[0].values;
  const figures = columns.map(() => 0);
  return comparisons.map(({ relation, value, bound }) => {
    const slacks = new Float64Array(length);
    for (let k = 0; k < length; k++) {
      for (let i = 0; i < figures.length; i++) figures[i] = columns[i].values[k];
      slacks[k] = slackOf(relation, value(figures) - bound(figures));
    }
    return slacks;
  });
}

/**
 * The point of a curve nearest to a limit, or furthest beyond it.
 *
 * @param slacks of {@link listSlacks}
 */
export function findNearestPoint(slacks: readonly Float64Array[]): number {
  let nearest = 0;
  let least = Number.POSITIVE_INFINITY;
  for (const along of slacks) {
    for (let k = 0; k < along.length; k++) {
      if (!(along[k] < least)) continue;
      least = along[k];
      nearest = k;
    }
  }
  return nearest;
}

/**
 * The next point, starting at a given one, at which a limit might not pass, or might be nearer to
 * its bound than where judged before. This is a quick test with uncertainties added linearly, which
 * is never less than in quadrature; points skipped pass for certain.
 *
 * @param columns the limit's figures, in order
 * @param slacks of {@link listSlacks}, of the same comparisons and columns
 * @returns the number of points if it passes at all of them
 */
export function findDoubtfulPoint(
  comparisons: readonly Comparison[],
  columns: readonly CurveColumn[],
  slacks: readonly Float64Array[],
  from: number,
  before: ComparisonResult,
): number {
  const least = before.verdict === "pass" ? before.slack : 0;
  let first = columns[0].values.length;
  for (let c = 0; c < comparisons.length; c++) {
    const { rates } = comparisons[c];
    if (rates === undefined) return from;
    const along = slacks[c];
    for (let k = from; k < first; k++) {
      let reach = 0;
      // Figures first named by a later comparison of the limit do not affect this one.
      for (let i = 0; i < rates.length; i++) reach += rates[i] * columns[i].doubts[k];
      const slack = along[k];
      if (!(slack > 0 && slack >= reach && slack >= least)) first = k;
    }
  }
  return first;
}

/** The decision rule on one number. */
function decide(
  slack: number,
  uncertainty: number,
  relation: Relation,
): ComparisonResult["verdict"] {
  const strict = relation === "<" || relation === ">";
  // Margin for binary fractions: 1 − 0.8 is a little less than 0.2.
  const guard = uncertainty * (1 - 1e-9);
  if (slack > 0 && slack >= guard) return "pass";
  if (slack < 0 && -slack >= guard) return "fail";
  if (slack === 0 && uncertainty === 0) return strict ? "fail" : "pass";
  return "undecided";
}

function slackAt({ relation, value, bound }: Comparison, figures: readonly number[]) {
  const judged = value(figures);
  const limit = bound(figures);
  if (!Number.isFinite(judged) || !Number.isFinite(limit)) return undefined;
  const slack = slackOf(relation, judged - limit);
  // Avoids −0, which would be printed.
  return { value: judged, bound: limit, slack: slack === 0 ? 0 : slack };
}

function slackOf(relation: Comparison["relation"], above: number): number {
  if (relation === "==") return -Math.abs(above);
  return relation === ">" || relation === ">=" ? above : -above;
}

/** Root sum of squares of the contributions of all sources to value minus limit. */
function uncertaintyOf(comparison: Comparison, values: readonly OperandValue[]): number {
  const figures = values.map(({ value }) => value);
  const middle = comparison.value(figures) - comparison.bound(figures);
  let squares = 0;
  for (let k = 0; k < values.length; k++) {
    const one = values[k];
    const own = one.bound === undefined ? one.uncertainty : 0;
    if (own > 0) squares += share(comparison, figures, middle, [k], own) ** 2;
    if (one.common === 0) continue;
    // A shared part moves all figures that have it; it is counted with the first of them.
    const sharing = values.flatMap(({ source, common }, i) =>
      source === one.source && common > 0 ? [i] : [],
    );
    if (sharing[0] === k) squares += share(comparison, figures, middle, sharing, one.common) ** 2;
  }
  return Math.sqrt(squares);
}

/** Change of value minus limit when some figures change, the larger of both directions. */
function share(
  { value, bound }: Comparison,
  figures: number[],
  middle: number,
  moved: readonly number[],
  by: number,
): number {
  move(figures, moved, by);
  const up = Math.abs(value(figures) - bound(figures) - middle);
  move(figures, moved, -2 * by);
  const down = Math.abs(value(figures) - bound(figures) - middle);
  move(figures, moved, by);
  return Math.max(up, down);
}

function move(figures: number[], moved: readonly number[], by: number): void {
  for (let i = 0; i < moved.length; i++) figures[moved[i]] += by;
}

/** The figures as measured, and with the true values further and further beyond all bounds. */
function beyondBounds(values: readonly OperandValue[]): readonly (readonly number[])[] {
  return depths.map((depth) =>
    values.map(({ value, unit, bound }) => {
      if (bound === undefined) return value;
      if (isDecibel(unit)) return bound === "upper" ? value - depth : value + depth;
      return bound === "upper" ? value / (1 + depth) : value * (1 + depth);
    }),
  );
}
