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
  /** As named by a finding: `hiss`, `response`, `distortionCurve`. */
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

/** The value of a probe on a path; undefined if the path has no such reading. */
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

/** Frequency ratio; further from a curve's nearest point than this is off the curve. */
const furthestRatio = 1.15;
/** Rounding may separate a point from its noise floor by this. */
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

/** Whether its value is a level, which depends on the interface's setting. */
export function isLevel(unit: string): boolean {
  return unit === "dBFS" || unit === "dBu" || unit.startsWith("dBFS") || unit.startsWith("dBu");
}

/** The smallest difference that matters. */
export function getProbeThreshold({ reading, atHz }: Probe, value: number): number {
  if (atHz !== undefined) return getCurveThreshold(getCurveId(reading))?.leastDb ?? 0;
  return getRelevanceThreshold(reading, value);
}

/** Assumed day-to-day standard deviation, as a share of the smallest difference that matters. */
export const grantedShare = 1 / 4;

/** Fewer paths than this do not show a common change. */
export const minInCommon = 2;

/** The common change of paths between two rounds. */
export interface CommonMove {
  /** Median of now minus then. */
  readonly change: number;
  /** Its standard uncertainty. */
  readonly error: number;
  /** Median of its expanded uncertainty (95 %) from calibrations. */
  readonly common: number;
  readonly unit: string;
  readonly count: number;
}

/** A path in both rounds. */
export interface PathBothTimes {
  readonly was: RoundPath;
  readonly now: RoundPath;
}

/** Standard error of a median of normal values relative to that of their mean: √(π/2). */
const medianError = Math.sqrt(Math.PI / 2);

/**
 * The common change of paths: the median of their differences. For fewer than three the scatter is
 * unknown, so the usual one is assumed.
 *
 * @returns undefined if none of them has the reading in both rounds, in one unit
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
    // Two bounds, or a bound now, give no difference; a rise from a bound is at least that.
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
