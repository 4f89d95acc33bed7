import type { Absence } from "../../measure/absence.js";
import type { InputCalibration } from "../../measure/calibration/types.js";
import { getOwnUncertainty } from "../../measure/own-uncertainty.js";
import { findReadingKind, getReadingId, readingKinds } from "../../measure/reading-kinds.js";
import type { Curves, Reading, Readings } from "../../measure/types.js";
import { unwrapReadings } from "../../measure/unwrap.js";
import { getAbsences } from "../absences.js";
import type { Condition } from "../condition.js";
import type { MeasuredReferenceTurn, Round, RoundPath, RoundReference } from "../types.js";
import { withoutLevelDrift } from "../without-level-drift.js";

/** Two rounds on one scale. */
export interface Rounds {
  readonly earlier: Round;
  readonly later: Round;
}

/**
 * Converts two rounds of which only one is calibrated to one scale: the calibrated one's levels are
 * converted back to dBFS with its own calibration, and its gains back to gains relative to the
 * signal sent. The interface's own noise and distortion stay subtracted from it. Between such
 * rounds a change common to all paths may come from the interface's setting, as between two
 * uncalibrated ones. Level drift during a round is subtracted if its reference path shows it.
 *
 * @returns rounds for comparison, not for storage, and what was done
 */
export function bringTogether(
  before: Round,
  after: Round,
): Rounds & { readonly conditions: readonly Condition[] } {
  const [earlier, moved] = [before, after].map(withoutLevelDrift);
  const later = unwrapRound(moved, earlier);
  const [then, now] = [earlier.calibration, later.calibration];
  if ((then === null) === (now === null)) return { earlier, later, conditions: [] };
  const which = then === null ? later : earlier;
  const conditions: readonly Condition[] = [{ code: "one-calibrated", round: which.id }];
  return then === null
    ? { earlier, later: toUncalibrated(later), conditions }
    : { earlier: toUncalibrated(earlier), later, conditions };
}

/** Readings that wrap round, like a phase. */
const turning = readingKinds.flatMap(({ id, period }) => (period === undefined ? [] : [id]));

/** A round whose phases are within half a turn of their earlier values. */
function unwrapRound(round: Round, earlier: Round): Round {
  const then = new Map(earlier.paths.map(({ path, readings }) => [path, readings]));
  const paths = round.paths.map((path): RoundPath => {
    const before = then.get(path.path) ?? {};
    const near: Record<string, number> = {};
    for (const id of turning) if (id in before) near[id] = before[id].value;
    const readings = unwrapReadings(path.readings, near);
    return readings === path.readings ? path : { ...path, readings };
  });
  return { ...round, paths };
}

/**
 * A calibrated round with its levels in dBFS.
 *
 * @returns paths recorded through an input that the calibration does not know keep their readings
 */
export function toUncalibrated(round: Round): Round {
  const inputs = round.calibration?.inputs ?? [];
  const sent = round.signal.nominalDbfs;
  return {
    ...round,
    ...(round.reference === undefined
      ? {}
      : { reference: withReferenceInDbfs(round.reference, inputs, sent) }),
    paths: round.paths.map((path) => withPathInDbfs(path, inputs, sent)),
  };
}

function withReferenceInDbfs(
  reference: RoundReference,
  inputs: readonly InputCalibration[],
  sentDbfs: number,
): RoundReference {
  const turns = reference.turns.map((one): MeasuredReferenceTurn => {
    const input = inputs.find(({ channel }) => channel === one.take.channel);
    if (input === undefined) return { ...one, ...withoutAbsolute(one) };
    return {
      ...one,
      readings: toDbfs(one.readings, input, sentDbfs),
      curves: curvesToDbfs(one.curves, input),
    };
  });
  return { ...reference, turns };
}

function withPathInDbfs(
  path: RoundPath,
  inputs: readonly InputCalibration[],
  sentDbfs: number,
): RoundPath {
  const { take, partner } = path;
  const input = inputs.find(({ channel }) => channel === take?.channel);
  const other = inputs.find(({ channel }) => channel === take?.partnerChannel);
  return {
    ...path,
    ...(input === undefined
      ? withoutAbsolute(path)
      : {
          readings: toDbfs(path.readings, input, sentDbfs),
          curves: curvesToDbfs(path.curves, input),
        }),
    ...(partner === undefined || other === undefined
      ? {}
      : {
          partner: {
            ...partner,
            readings: toDbfs(partner.readings, other, sentDbfs),
            curves: curvesToDbfs(partner.curves, other),
          },
        }),
    ...(path.otherTakes === undefined || input === undefined
      ? {}
      : {
          otherTakes: path.otherTakes.map((one) => ({
            ...one,
            readings: toDbfs(one.readings, input, sentDbfs),
          })),
        }),
  };
}

const unknownInput: Absence = { code: "input-not-calibrated" };

/** Two gains in decibels would not show that one is absolute and the other relative. */
function withoutAbsolute(
  path: Pick<RoundPath, "readings" | "absent" | "absences">,
): Pick<RoundPath, "readings" | "absent" | "absences"> {
  const [kept, left] = [true, false].map((isKept) =>
    Object.entries(path.readings).filter(
      ([id]) => (findReadingKind(id)?.relativeUntilCalibrated === undefined) === isKept,
    ),
  );
  return {
    readings: Object.fromEntries(kept),
    absent: path.absent,
    absences: {
      ...getAbsences(path),
      ...Object.fromEntries(left.map(([id]) => [id, unknownInput])),
    },
  };
}

function toDbfs(readings: Readings, { fullScale }: InputCalibration, sentDbfs: number): Readings {
  const back = Object.entries(readings).map(([id, reading]): [string, Reading] => {
    // A reading that is in dBu anyway does not depend on the calibration.
    if (reading.unit !== "dBu" || findReadingKind(id)?.unit === "dBu") return [id, reading];
    return [
      id,
      { ...withoutCommon(reading), value: reading.value - fullScale.value, unit: "dBFS" },
    ];
  });
  const made = Object.fromEntries(back);
  const gainId = getReadingId("gain");
  const [level, gain] = [made[getReadingId("level")], made[gainId]];
  if (level === undefined || gain === undefined) return made;
  return {
    ...made,
    [gainId]: { ...gain, ...withoutCommon(level), value: level.value - sentDbfs, unit: "dB" },
  };
}

/** Curves of levels, such as the noise spectrum. */
function curvesToDbfs(curves: Curves, { fullScale }: InputCalibration): Curves {
  const less = (list: readonly number[]) => list.map((value) => value - fullScale.value);
  return Object.fromEntries(
    Object.entries(curves).map(([id, curve]) => {
      if (!curve.yUnit.startsWith("dBu")) return [id, curve];
      const floor = curve.floor === undefined ? {} : { floor: less(curve.floor) };
      return [
        id,
        { ...curve, y: less(curve.y), ...floor, yUnit: curve.yUnit.replace("dBu", "dBFS") },
      ];
    }),
  );
}

/** Without the calibration, its share of the uncertainty is removed too. */
function withoutCommon(reading: Reading): Reading {
  const { common: _, ...rest } = reading;
  return { ...rest, uncertainty: getOwnUncertainty(reading) };
}
