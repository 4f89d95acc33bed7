import type { Measurement } from "../measure/types.js";
import type { PathToRank } from "../rank/family-stats.js";
import { getAbsences } from "./absences.js";
import type { RoundPath } from "./types.js";

/** What a stored path read, as measuring gave it: with the other side of a stereo bus. */
export function toMeasurement(stored: StoredMeasurement): Measurement {
  const { partner } = stored;
  const own = readSide(stored);
  return partner === undefined
    ? own
    : { ...own, partner: { side: partner.side, ...readSide(partner) } };
}

/** What a round holds of a path, or of a turn of the reference path. */
type StoredMeasurement = Pick<RoundPath, "readings" | "absent" | "absences" | "curves" | "partner">;

function readSide(side: Omit<StoredMeasurement, "partner">) {
  return { readings: side.readings, absent: getAbsences(side), curves: side.curves };
}

/** A measured path as a member of its family. */
export function toMember(stored: RoundPath) {
  return { path: stored.path, measurement: toMeasurement(stored) };
}

/**
 * A stored path as ranking takes it.
 *
 * @returns without a measurement where the path was not measured
 */
export function toPathToRank(stored: RoundPath): PathToRank {
  const { path, family, status } = stored;
  if (status !== "measured") return { path, family };
  return { path, family, measurement: toMeasurement(stored) };
}
