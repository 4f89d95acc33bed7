import { median, qn } from "../../dsp/robust.js";
import type { Conditions } from "../../history/compare/conditions.js";
import { getCurveThreshold, getRelevanceThreshold } from "../../history/compare/thresholds.js";
import { getCurveId } from "../../history/standing.js";
import type { RoundPath } from "../../history/types.js";
import { findCurveOfFinding } from "../../measure/curve-kinds.js";
import { getBoundSide } from "../../measure/is-bound.js";
import { getOwnUncertainty } from "../../measure/own-uncertainty.js";
import { findReadingKind } from "../../measure/reading-kinds.js";
import { toDifferenceUnit } from "../../text/level-units.js";

/** A reading, or a curve at one frequency. */
export interface Probe {
  /** As a finding names it: `hiss`, `response`, `distortionCurve`. */
  readonly reading: string;
  readonly atHz?: number | undefined;
}

export interface ProbeValue {
  readonly value: number;
  /** Expanded (95 %), without the part that all paths of a round share; 0 for a bound. */
  readonly uncertainty: number;
  readonly unit: string;
  readonly bound?: "upper" | "lower";
}

/** What a probe finds on a path; undefined where the path has no such reading. */
export function readProbe(
  { readings, curves }: Pick<RoundPath, "readings" | "curves">,
  { reading, atHz }: Probe,
): ProbeValue | undefined {
  if (atHz !== undefined) return readCurve(curves[getCurveId(reading)], atHz);
  const found = readings[reading];
  if (found === undefined) return undefined;
  const { value, unit } = found;
  const bound = getBoundSide(found);
  return bound === undefined
    ? { value, unit, uncertainty: getOwnUncertainty(found) }
    : { value, unit, uncertainty: 0, bound };
}

/** A frequency further from a curve's nearest point than this ratio is not on the curve. */
const furthestRatio = 1.15;
/** Rounding may part a point a little from the floor that it lies at. */
const floorRoundingDb = 0.01;

function readCurve(curve: RoundPath["curves"][string] | undefined, atHz: number) {
  if (curve === undefined || curve.x.length === 0) return undefined;
  const apart = (hz: number) => Math.abs(Math.log(hz / atHz));
  const at = curve.x.reduce((best, hz, i) => (apart(hz) < apart(curve.x[best]) ? i : best), 0);
  if (apart(curve.x[at]) > Math.log(furthestRatio)) return undefined;
  const floor = curve.floor?.[at];
  const isDrowned = floor !== undefined && curve.y[at] <= floor + floorRoundingDb;
  const read = { value: curve.y[at], unit: curve.yUnit };
  return isDrowned
    ? { ...read, uncertainty: 0, bound: "upper" as const }
    : { ...read, uncertainty: curve.uncertainty[at] };
}

/** Whether a reading adds as power, so that a raised floor hides it. */
export function addsAsPower({ reading }: Probe): boolean {
  const { own } = findCurveOfFinding(reading) ?? findReadingKind(reading) ?? {};
  return own?.adds === "power" || own?.adds === "phase";
}

/** Whether its value is a level, which moves with the interface's setting. */
export function isLevel(unit: string): boolean {
  return unit === "dBFS" || unit === "dBu" || unit.startsWith("dBFS") || unit.startsWith("dBu");
}

/** A difference smaller than this is of no concern. */
export function getProbeThreshold({ reading, atHz }: Probe, value: number): number {
  if (atHz !== undefined) return getCurveThreshold(getCurveId(reading))?.leastDb ?? 0;
  return getRelevanceThreshold(reading, value);
}

/** Standard deviation from day to day that any reading is granted, in thresholds of no concern. */
export const grantedShare = 1 / 4;

/** Fewer paths than these have nothing in common. */
export const minInCommon = 2;

/** What paths did in common between two rounds. */
export interface CommonMove {
  /** Median of now minus then. */
  readonly change: number;
  /** Its standard uncertainty. */
  readonly error: number;
  /** Median of the expanded uncertainty (95 %) that calibrations put on it. */
  readonly common: number;
  readonly unit: string;
  readonly count: number;
}

/** A path in both rounds. */
export interface PathBothTimes {
  readonly was: RoundPath;
  readonly now: RoundPath;
}

/** Standard error of a median of normal values against that of their mean: √(π/2). */
const medianError = Math.sqrt(Math.PI / 2);

/**
 * What paths did in common: the median of their differences. Of fewer than three nobody knows how far
 * they scatter, so they are granted the usual.
 *
 * @returns undefined where none of them has the reading in both rounds, in one unit
 */
export function computeCommonMove(
  pairs: readonly PathBothTimes[],
  probe: Probe,
  { refused }: Pick<Conditions, "refused">,
): CommonMove | undefined {
  if (refused(getCurveId(probe.reading)) !== undefined) return undefined;
  const rows = pairs.flatMap(({ was, now }) => {
    const [before, after] = [readProbe(was, probe), readProbe(now, probe)];
    if (before === undefined || after === undefined || before.unit !== after.unit) return [];
    // Two bounds, or a rise above one, are no difference; a rise from a bound is one at least.
    if (after.bound !== undefined) return [];
    const measured = Math.hypot(before.uncertainty, after.uncertainty) / 2;
    const common = Math.hypot(
      was.readings[probe.reading]?.common ?? 0,
      now.readings[probe.reading]?.common ?? 0,
    );
    return [{ difference: after.value - before.value, measured, common, unit: after.unit, before }];
  });
  if (rows.length === 0) return undefined;
  const differences = rows.map(({ difference }) => difference);
  const granted = grantedShare * getProbeThreshold(probe, rows[0].before.value);
  const measured = median(rows.map((row) => row.measured));
  const scatter = rows.length < 3 ? Math.hypot(granted, measured) : qn(differences);
  return {
    change: median(differences),
    error: Math.hypot((medianError * scatter) / Math.sqrt(rows.length), granted / 2),
    common: median(rows.map(({ common }) => common)),
    unit: toDifferenceUnit(rows[0].unit),
    count: rows.length,
  };
}
