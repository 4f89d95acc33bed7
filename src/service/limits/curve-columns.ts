import type { Round, RoundPath } from "../../history/types.js";
import type { Curve } from "../../measure/types.js";
import { minSiblings } from "../../rank/family-stats.js";
import type { Operand } from "./types.js";

/** A figure at all points of a band, as bare numbers. */
export interface CurveColumn {
  readonly values: ArrayLike<number>;
  /** Its expanded uncertainty at each point, or an upper bound of it. */
  readonly doubts: ArrayLike<number>;
}

/**
 * Looks up a figure at the points of a band.
 *
 * @param points where the path's own curve has points, Hz, rising
 * @returns undefined if the figure is not a curve, is missing, may be a bound, or was measured at
 * other frequencies
 */
export type ColumnReader = (
  figure: Operand,
  path: RoundPath,
  points: readonly number[],
) => CurveColumn | undefined;

/**
 * Creates a reader of whole curves, for a first pass over hundreds of points, of which nearly all
 * pass. It gives the same as the reader of single figures, without an object per point.
 */
export function createColumnReader(round: Round, baseline?: Round): ColumnReader {
  const earlier = new Map(baseline?.paths.map((path) => [path.path, path]));
  const middles: {
    readonly family: string;
    readonly id: string;
    readonly points: readonly number[];
    readonly column: CurveColumn | undefined;
  }[] = [];

  return ({ whose, id, at }, path, points) => {
    if (at === undefined || "hz" in at) return undefined;
    if (whose === "own") return columnOf(path, id, points);
    if (whose === "baseline") return columnOf(earlier.get(path.path), id, points);
    if (whose !== "siblings") return undefined;
    const { family } = path;
    const known = middles.find(
      (one) => one.family === family && one.id === id && isSame(one.points, points),
    );
    if (known !== undefined) return known.column;
    const column = middleColumn(round, family, id, points);
    middles.push({ family, id, points, column });
    return column;
  };
}

function columnOf(
  path: RoundPath | undefined,
  id: string,
  points: readonly number[],
): CurveColumn | undefined {
  const curve = path?.status === "measured" ? path.curves[id] : undefined;
  const start = curve === undefined ? -1 : startOf(curve, points);
  // Points at the noise floor are bounds.
  if (curve === undefined || curve.floor !== undefined || start < 0) return undefined;
  const { y, uncertainty } = curve;
  const end = start + points.length;
  if (end === y.length && start === 0) return { values: y, doubts: uncertainty };
  return { values: y.slice(start, end), doubts: uncertainty.slice(start, end) };
}

/** Index from which a curve has exactly these points; −1 if it has others. */
function startOf({ x }: Curve, points: readonly number[]): number {
  if (x === points) return 0;
  const start = x.indexOf(points[0]);
  if (start < 0 || start + points.length > x.length) return -1;
  for (let k = 0; k < points.length; k++) if (x[start + k] !== points[k]) return -1;
  return start;
}

/**
 * The median of the siblings that have the curve; its uncertainty is at most the largest of theirs.
 */
function middleColumn(
  { paths }: Round,
  family: string,
  id: string,
  points: readonly number[],
): CurveColumn | undefined {
  const having = paths.filter(
    (one) => one.family === family && one.status === "measured" && one.curves[id] !== undefined,
  );
  const columns = having.flatMap((one) => columnOf(one, id, points) ?? []);
  const { length } = columns;
  if (length < Math.max(minSiblings, having.length)) return undefined;
  const values = new Float64Array(points.length);
  const doubts = new Float64Array(points.length);
  const sorted = new Float64Array(length);
  for (let k = 0; k < points.length; k++) {
    for (let i = 0; i < length; i++) {
      const column = columns[i];
      sorted[i] = column.values[k];
      if (column.doubts[k] > doubts[k]) doubts[k] = column.doubts[k];
    }
    sorted.sort();
    values[k] = (sorted[(length - 1) >> 1] + sorted[length >> 1]) / 2;
  }
  return { values, doubts };
}

function isSame(a: readonly number[], b: readonly number[]): boolean {
  if (a.length !== b.length) return false;
  for (let k = 0; k < a.length; k++) if (a[k] !== b[k]) return false;
  return true;
}
