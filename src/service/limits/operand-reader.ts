import { getAbsence } from "../../history/absences.js";
import { getReason } from "../../history/get-reason.js";
import type { Round, RoundPath } from "../../history/types.js";
import { isBoundAt } from "../../measure/curve-bounds.js";
import { getBoundSide } from "../../measure/is-bound.js";
import { getOwnUncertainty } from "../../measure/own-uncertainty.js";
import { findReadingKind } from "../../measure/reading-kinds.js";
import type { Curve, Reading } from "../../measure/types.js";
import { minSiblings } from "../../rank/family-stats.js";
import { groupBy } from "../../text/group-by.js";
import type { Lack } from "./lack.js";
import type { FrequencyBand, Operand } from "./types.js";

/** A figure with its uncertainty. */
export interface OperandValue {
  readonly value: number;
  readonly unit: string;
  /** The figure's own expanded uncertainty (95 %), unit of the value. */
  readonly uncertainty: number;
  /** The part shared by all figures with the same `source`; it cancels between them. */
  readonly common: number;
  readonly source: string;
  /** Set where the truth lies anywhere at or beyond the value, on this side of it. */
  readonly bound?: "upper" | "lower";
  /** What set a bound. */
  readonly limitedBy?: "noise" | "interface";
}

export interface MissingOperand {
  readonly missing: Lack;
  /**
   * `path`: only this path lacks it. `round`: the whole round lacks it, or has too few of it: no
   * fault of the path.
   */
  readonly where: "path" | "round";
}

export type OperandResult = OperandValue | MissingOperand;

/** Whether an operand was found; otherwise it is the reason why not. */
export function isValue(found: OperandResult): found is OperandValue {
  return "value" in found;
}

/**
 * Looks up figures.
 *
 * @param hz the point, for a curve that is judged at every point
 */
export type OperandReader = (figure: Operand, path: RoundPath, hz?: number) => OperandResult;

/** Points at the ends of a band may be off the nominal frequency: half of 1/24 octave. */
const edgeSlack = 2 ** (1 / 48);

/**
 * Creates a reader of figures from a round, its families, and a baseline round. The siblings'
 * figure is the median of the family's measured paths including the path itself, as in every
 * report. Its uncertainty is that of the middle value or values, by the law of propagation (JCGM
 * 100, 5.1.2): the scatter of siblings is not an uncertainty of their median today. A median that
 * is a noise bound is used as a definite figure.
 */
export function createOperandReader(round: Round, baseline?: Round): OperandReader {
  const families = groupBy(round.paths, ({ family }) => family);
  const earlier = new Map(baseline?.paths.map((path) => [path.path, path]));
  const middles = new Map<string, Map<number, OperandResult>>();

  return (figure, path, hz) => {
    if (figure.whose === "scale") return fullScaleOf(round, path);
    if (figure.whose === "own") return ownFigure(figure, path, "round", hz);
    if (figure.whose === "baseline") {
      const before = earlier.get(path.path);
      if (before === undefined) return absent({ code: "not-in-baseline" }, "round");
      return asReference(ownFigure(figure, before, "baseline", hz));
    }
    const key = `${path.family}\n${figure.id}\n${figure.at === undefined ? "reading" : "curve"}`;
    const along = middles.get(key) ?? new Map<number, OperandResult>();
    if (along.size === 0) middles.set(key, along);
    const point = pointOf(figure, hz) ?? 0;
    const known = along.get(point);
    if (known !== undefined) return known;
    const middle = middleOf(
      (families.get(path.family) ?? []).map((one) => ownFigure(figure, one, "round", hz)),
    );
    along.set(point, middle);
    return middle;
  };
}

/**
 * Full scale of the input that a path was recorded by, without uncertainty: that is in every level
 * in dBu already, and would count twice.
 */
function fullScaleOf({ calibration }: Round, { take }: RoundPath): OperandResult {
  const input = calibration?.inputs.find(({ channel }) => channel === take?.channel);
  if (input === undefined) return absent({ code: "input-not-calibrated" }, "path");
  const { value, unit } = input.fullScale;
  return { value, unit, uncertainty: 0, common: 0, source: "calibration" };
}

/** The points of a path's curve within a band, Hz, or why they do not cover it. */
export function listPointsWithin(
  { fromHz, toHz }: FrequencyBand,
  curve: Curve | undefined,
): readonly number[] | MissingOperand {
  const first = curve?.x[0];
  const last = curve?.x.at(-1);
  if (curve === undefined || first === undefined || last === undefined) {
    return absent({ code: "no-curve" }, "path");
  }
  if (first > fromHz * edgeSlack || last < toHz / edgeSlack) {
    return absent({ code: "short-curve", fromHz: first, toHz: last }, "round");
  }
  const { x } = curve;
  const [low, high] = [fromHz / edgeSlack, toHz * edgeSlack];
  let start = 0;
  let end = x.length;
  while (start < end && x[start] < low) start++;
  while (end > start && x[end - 1] > high) end--;
  // Most limits are for the whole curve.
  return start === 0 && end === x.length ? x : x.slice(start, end);
}

function absent(missing: Lack, where: MissingOperand["where"]): MissingOperand {
  return { missing, where };
}

function findNotMade(path: RoundPath, id: string): Lack | undefined {
  const because = getAbsence(path, id);
  return because === undefined ? undefined : { code: "not-made", because };
}

function pointOf({ at }: Operand, hz: number | undefined): number | undefined {
  return at !== undefined && "hz" in at ? at.hz : hz;
}

function ownFigure(
  figure: Operand,
  path: RoundPath,
  of: "round" | "baseline",
  hz: number | undefined,
): OperandResult {
  const { id, at } = figure;
  const source = `${of} ${id}`;
  if (path.status !== "measured") {
    const { status } = path;
    return absent({ code: "not-measured", status, ...getReason(path) }, "path");
  }
  if (at === undefined) {
    const reading = path.readings[id];
    if (reading !== undefined) return fromReading(id, reading, source);
    return absent(findNotMade(path, id) ?? { code: "not-in-signal" }, "path");
  }
  const point = pointOf(figure, hz);
  const curve = path.curves[id];
  if (point === undefined || curve === undefined) {
    return absent(findNotMade(path, id) ?? { code: "no-curve", curve: id }, "path");
  }
  return fromCurve(curve, point, source);
}

function fromReading(id: string, reading: Reading, source: string): OperandValue {
  const { value, unit, common = 0, limitedBy } = reading;
  const bound = getBoundSide(reading) ?? boundByInterface(limitedBy, id);
  return {
    value,
    unit,
    uncertainty: getOwnUncertainty(reading),
    common,
    source,
    ...(bound === undefined ? {} : { bound }),
    ...(limitedBy === undefined ? {} : { limitedBy }),
  };
}

/** If the interface limits the figure, the path alone may be better, never worse. */
function boundByInterface(
  limitedBy: Reading["limitedBy"],
  id: string,
): OperandValue["bound"] | undefined {
  if (limitedBy !== "interface") return undefined;
  const harm = findReadingKind(id)?.harm;
  if (harm === "up") return "upper";
  return harm === "down" ? "lower" : undefined;
}

/** A point of a curve; between two points interpolated along a logarithmic scale. */
function fromCurve(curve: Curve, hz: number, source: string): OperandResult {
  const { x, y, yUnit, uncertainty } = curve;
  const after = firstFrom(x, hz);
  const [first, last] = [x[0] ?? Number.NaN, x.at(-1) ?? Number.NaN];
  const high = after < 0 && hz <= last * edgeSlack ? x.length - 1 : after;
  if (high < 0 || hz < first / edgeSlack) {
    return absent({ code: "short-curve", fromHz: first, toHz: last }, "round");
  }
  const low = high === 0 || x[high] <= hz ? high : high - 1;
  const share = low === high ? 0 : Math.log(hz / x[low]) / Math.log(x[high] / x[low]);
  const value = y[low] + share * (y[high] - y[low]);
  const drowned = isBoundAt(curve, low) || isBoundAt(curve, high);
  const point = {
    value,
    unit: yUnit,
    uncertainty: Math.max(uncertainty[low], uncertainty[high]),
    common: 0,
    source,
  };
  return drowned ? { ...point, bound: "upper", limitedBy: "noise" } : point;
}

/** Index of the first point at or above a frequency, by bisection; −1 for none. */
function firstFrom(x: readonly number[], hz: number): number {
  let [low, high] = [0, x.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (x[middle] >= hz) high = middle;
    else low = middle + 1;
  }
  return low < x.length ? low : -1;
}

function middleOf(family: readonly OperandResult[]): OperandResult {
  const values = family.filter(isValue).sort((a, b) => a.value - b.value);
  if (values.length < minSiblings) {
    return absent({ code: "few-siblings", least: minSiblings }, "round");
  }
  const [low, high] = [values[(values.length - 1) >> 1], values[values.length >> 1]];
  const single = low === high;
  const uncertainty = single ? low.uncertainty : Math.hypot(low.uncertainty, high.uncertainty) / 2;
  return {
    value: single ? low.value : (low.value + high.value) / 2,
    unit: low.unit,
    uncertainty: low.bound || high.bound ? 0 : uncertainty,
    common: Math.max(low.common, high.common),
    source: low.source,
  };
}

/** A figure to compare with; a noise bound counts as a definite value. */
function asReference(found: OperandResult): OperandResult {
  if (!isValue(found)) return absent({ code: "of-baseline", lack: found.missing }, "round");
  const { value, unit, uncertainty, common, source, bound } = found;
  return { value, unit, uncertainty: bound === undefined ? uncertainty : 0, common, source };
}
