import type { CurveColumn } from "./curve-columns.js";
import type { Judged } from "./judged.js";
import type { OperandValue } from "./operand-reader.js";
import type { Comparison, Relation } from "./types.js";
import { isDecibel } from "./units.js";

/** A comparison worked out for one path. */
export interface ComparisonResult {
  readonly verdict: "pass" | "fail" | "undecided";
  /** What was judged, as an expression. */
  readonly quantity: string;
  readonly judged: Judged;
  readonly value: number;
  readonly relation: Relation;
  readonly bound: number;
  readonly unit: string;
  /** Expanded uncertainty (95 %) of value against bound. */
  readonly uncertainty: number;
  /** How far inside the limit, negative outside. */
  readonly slack: number;
  readonly limitedBy?: "noise" | "interface";
}

/** How far beyond a bound the truth is tried: decibels, or parts of the value. */
const depths = [0, 0.5, 1, 2, 3, 6, 10, 20, 40, 80, 160];

/**
 * Judges a value by its limit with a guard band on both sides: it passes when it lies inside the
 * limit by its expanded uncertainty or more, fails when it lies outside by as much, and is
 * undecided in between. That is guarded acceptance and guarded rejection with a guard band of once
 * the expanded uncertainty (JCGM 106:2012, 8.3.2 and 8.3.3), the decision rule of ISO 14253-1 in
 * its editions up to 2013. Clause numbers from memory.
 *
 * The uncertainty is that of value minus limit: each figure's own part is carried through the
 * expression on its own, a part that several figures share moves them together, and the shares add
 * in quadrature (JCGM 100, 5.1.2). Shares are differences over the whole interval, the larger of
 * both directions, so that the fold of `abs` hides none.
 *
 * A figure that is only a bound (noise set it) is decided where every truth beyond the bound would
 * be decided alike.
 *
 * @param values of the limit's figures, in order
 * @returns undefined where the expression has no finite value: it divides by zero
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

/** The point at which figures along a curve come nearest to a limit, or go furthest beyond it. */
export function findNearestPoint(
  comparisons: readonly Comparison[],
  columns: readonly CurveColumn[],
): number {
  const figures = columns.map(() => 0);
  let nearest = 0;
  let least = Number.POSITIVE_INFINITY;
  for (const comparison of comparisons) {
    for (let k = 0; k < columns[0].values.length; k++) {
      const slack = slackOfColumns(comparison, columns, k, figures);
      if (!(slack < least)) continue;
      least = slack;
      nearest = k;
    }
  }
  return nearest;
}

/**
 * The first point, from one on, at which a limit may not pass, or may lie nearer to its bound than
 * where it was judged before, as far as can be decided at once: with all doubts added up plainly,
 * which is never less than their sum in quadrature. In between it passes for certain.
 *
 * @param columns the limit's figures, in order
 * @returns as many as there are points where it passes at all of them
 */
export function findDoubtfulPoint(
  comparisons: readonly Comparison[],
  columns: readonly CurveColumn[],
  from: number,
  before: ComparisonResult,
): number {
  const least = before.verdict === "pass" ? before.slack : 0;
  const figures = columns.map(() => 0);
  let first = columns[0].values.length;
  for (const comparison of comparisons) {
    const { rates } = comparison;
    if (rates === undefined) return from;
    for (let k = from; k < first; k++) {
      let reach = 0;
      // A figure that a later comparison of the limit names first has no part in this one.
      for (let i = 0; i < rates.length; i++) reach += rates[i] * columns[i].doubts[k];
      const slack = slackOfColumns(comparison, columns, k, figures);
      if (!(slack > 0 && slack >= reach && slack >= least)) first = k;
    }
  }
  return first;
}

/** @param figures as many numbers as columns, to work in */
function slackOfColumns(
  { relation, value, bound }: Comparison,
  columns: readonly CurveColumn[],
  k: number,
  figures: number[],
): number {
  for (let i = 0; i < figures.length; i++) figures[i] = columns[i].values[k];
  return slackOf(relation, value(figures) - bound(figures));
}

/** The decision rule on one number. */
function decide(
  slack: number,
  uncertainty: number,
  relation: Relation,
): ComparisonResult["verdict"] {
  const strict = relation === "<" || relation === ">";
  // Decimals as binary fractions: 1 − 0.8 is a little less than 0.2.
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
  // A minus sign before zero would show.
  return { value: judged, bound: limit, slack: slack === 0 ? 0 : slack };
}

function slackOf(relation: Comparison["relation"], above: number): number {
  if (relation === "==") return -Math.abs(above);
  return relation === ">" || relation === ">=" ? above : -above;
}

/** Root of the summed squares of what each source of doubt adds to value minus limit. */
function uncertaintyOf(comparison: Comparison, values: readonly OperandValue[]): number {
  const figures = values.map(({ value }) => value);
  const middle = comparison.value(figures) - comparison.bound(figures);
  let squares = 0;
  for (let k = 0; k < values.length; k++) {
    const one = values[k];
    const own = one.bound === undefined ? one.uncertainty : 0;
    if (own > 0) squares += share(comparison, figures, middle, [k], own) ** 2;
    if (one.common === 0) continue;
    // A shared part moves all figures that have it, and is counted with the first of them.
    const sharing = values.flatMap(({ source, common }, i) =>
      source === one.source && common > 0 ? [i] : [],
    );
    if (sharing[0] === k) squares += share(comparison, figures, middle, sharing, one.common) ** 2;
  }
  return Math.sqrt(squares);
}

/** How far value minus limit moves when some figures do, the larger of both directions. */
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

/** The figures as they stand, and with every bound ever further on its side of the truth. */
function beyondBounds(values: readonly OperandValue[]): readonly (readonly number[])[] {
  return depths.map((depth) =>
    values.map(({ value, unit, bound }) => {
      if (bound === undefined) return value;
      if (isDecibel(unit)) return bound === "upper" ? value - depth : value + depth;
      return bound === "upper" ? value / (1 + depth) : value * (1 + depth);
    }),
  );
}
