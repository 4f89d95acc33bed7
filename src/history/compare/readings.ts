import { median } from "../../dsp/robust.js";
import { getBoundSide } from "../../measure/is-bound.js";
import { getOwnUncertainty } from "../../measure/own-uncertainty.js";
import type { Reading } from "../../measure/types.js";
import { minSiblings } from "../../rank/family-stats.js";
import type { Scatter } from "../../rank/robust-stats.js";
import { toDifferenceUnit } from "../../text/level-units.js";
import { getAbsence } from "../absences.js";
import {
  classifyCourseAt,
  computeAssumedShift,
  judgeChange,
  type PathDifference,
  realSignificance,
} from "./change.js";
import type { Conditions } from "./conditions.js";
import type { Incomparable } from "./incomparable.js";
import type { PairedMeasurement, PathPair } from "./path-pairs.js";
import { computeRepeatability } from "./repeatability.js";
import { computeCommonShift, computeShiftError } from "./shift.js";
import { classifyCourse, getHarmDirection, getRelevanceThreshold } from "./thresholds.js";
import type { CommonShift, ReadingChange } from "./types.js";

/** The result for one side of a path. */
export interface SideChanges {
  readonly readings: readonly ReadingChange[];
  readonly notCompared: Readonly<Record<string, Incomparable>>;
}

/** A family's shift, before families with the same change are merged. */
export type FamilyShift = Omit<CommonShift, "families"> & { readonly family: string };

/** A reading of one path in both rounds. */
interface Row {
  readonly pair: PathPair;
  readonly earlier: Reading;
  readonly later: Reading;
  readonly doubted: PathDifference;
}

/**
 * Compares the readings of one family.
 *
 * @param pairs its paths that both rounds have measured
 * @returns what came of each pair, in order, and what the family did in common
 */
export function compareReadings(
  pairs: readonly PathPair[],
  conditions: Conditions,
): { readonly sides: readonly SideChanges[]; readonly shifts: readonly FamilyShift[] } {
  const sides = pairs.map(() => ({
    readings: [] as ReadingChange[],
    notCompared: {} as Record<string, Incomparable>,
  }));
  const shifts: FamilyShift[] = [];
  const ids = new Set(
    pairs.flatMap(({ earlier, later }) => [
      ...Object.keys(later.readings),
      ...Object.keys(earlier.readings),
    ]),
  );
  for (const id of ids) {
    const rows = new Map<number, Row>();
    pairs.forEach((pair, k) => {
      const row = rowOf(pair, id, conditions);
      if (row === undefined) return;
      if ("code" in row) sides[k].notCompared[id] = row;
      else rows.set(k, row);
    });
    const crowd = crowdOf([...rows.values()], id);
    const places = placesOf([...rows.values()]);
    // If siblings show no scatter, that of their takes is used instead.
    const shared = crowd === undefined ? computeRepeatability(pairs, id) : 0;
    for (const [k, { earlier, later, doubted }] of rows) {
      const repeat = Math.max(doubted.repeat, shared);
      const change = judgeChange({ ...doubted, repeat }, crowd);
      const place = places && {
        offThen: earlier.value - places.earlier,
        offNow: later.value - places.later,
      };
      sides[k].readings.push({
        reading: id,
        unit: toDifferenceUnit(later.unit),
        earlier,
        later,
        ...change,
        course: classifyCourseAt(getHarmDirection(id), change.own, place),
      });
    }
    const shift = crowd && shiftOf(id, pairs[0].family, [...rows.values()], crowd, conditions);
    if (shift) shifts.push(shift);
  }
  return { sides, shifts };
}

/** Both values of a reading; the reason if they cannot be compared, undefined if there are none. */
function rowOf(pair: PathPair, id: string, conditions: Conditions): Row | Incomparable | undefined {
  const [earlier, later] = [pair.earlier.readings[id], pair.later.readings[id]];
  if (earlier === undefined && later === undefined) return undefined;
  if (earlier === undefined) return lacking("not-then", pair.earlier, id);
  if (later === undefined) return lacking("not-now", pair.later, id);
  if (earlier.unit !== later.unit) {
    return { code: "other-unit", earlier: earlier.unit, later: later.unit };
  }
  const refused = conditions.refused(id, pair.path);
  if (refused !== undefined) return refused;
  const bound = boundOf(earlier, later);
  if (bound === "none") return { code: "noise-both-times" };
  const doubted: PathDifference = {
    difference: later.value - earlier.value,
    measured: Math.hypot(
      bound === undefined ? getOwnUncertainty(earlier) : 0,
      bound === undefined ? getOwnUncertainty(later) : 0,
    ),
    repeat: computeRepeatability([pair], id),
    least: getRelevanceThreshold(id, earlier.value),
    ...(bound === undefined ? {} : { bound }),
  };
  return { pair, earlier, later, doubted };
}

function lacking(code: "not-then" | "not-now", one: PairedMeasurement, id: string): Incomparable {
  const because = getAbsence(one, id);
  return because === undefined ? { code } : { code, because };
}

/** Which side of the truth a difference lies on when one of its ends is a bound. */
function boundOf(earlier: Reading, later: Reading): "upper" | "lower" | "none" | undefined {
  const [before, after] = [getBoundSide(earlier), getBoundSide(later)];
  if (before === undefined) return after;
  // The earlier value was at most this, so the change is at least the difference.
  const turned = before === "upper" ? "lower" : "upper";
  return after === undefined || after === turned ? turned : "none";
}

function crowdOf(rows: readonly Row[], id: string): Scatter | undefined {
  const firm = rows.filter(({ doubted }) => doubted.bound === undefined);
  if (firm.length < minSiblings) return undefined;
  const least = median(firm.map(({ earlier }) => getRelevanceThreshold(id, earlier.value)));
  const measured = median(firm.map(({ doubted }) => doubted.measured)) / 2;
  const granted = Math.hypot(least / 10, measured);
  return computeCommonShift(
    firm.map(({ doubted }) => doubted.difference),
    granted,
  );
}

/** The siblings' median in each round. */
function placesOf(
  rows: readonly Row[],
): { readonly earlier: number; readonly later: number } | undefined {
  if (rows.length < minSiblings) return undefined;
  return {
    earlier: median(rows.map(({ earlier }) => earlier.value)),
    later: median(rows.map(({ later }) => later.value)),
  };
}

/** A family's common shift, if scatter and calibrations do not account for it. */
function shiftOf(
  reading: string,
  family: string,
  rows: readonly Row[],
  crowd: Scatter,
  { calibration }: Conditions,
): FamilyShift | undefined {
  const firm = rows.filter(({ doubted }) => doubted.bound === undefined);
  // Under one calibration its error is in both rounds and cancels.
  const common =
    calibration === "same"
      ? 0
      : median(
          firm.map(({ earlier, later }) => Math.hypot(earlier.common ?? 0, later.common ?? 0)),
        );
  const least = median(firm.map(({ earlier }) => getRelevanceThreshold(reading, earlier.value)));
  const measured = median(firm.map(({ doubted }) => doubted.measured)) / 2 / Math.sqrt(firm.length);
  const granted = computeAssumedShift(least);
  const deviation = Math.hypot(computeShiftError(crowd), common / 2, measured, granted);
  const { median: shift } = crowd;
  const paths = firm.length;
  if (deviation === 0 ? shift === 0 : Math.abs(shift) < realSignificance * deviation) {
    return undefined;
  }
  const unit = toDifferenceUnit(firm[0].later.unit);
  const course = classifyCourse(
    getHarmDirection(reading) === "both" ? "none" : getHarmDirection(reading),
    shift,
  );
  return { reading, family, paths, shift, unit, uncertainty: 2 * deviation, course };
}
