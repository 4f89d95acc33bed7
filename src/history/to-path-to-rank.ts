import type { Measurement } from "../measure/types.js";
import type { PathToRank } from "../rank/family-stats.js";
import { getAbsences } from "./absences.js";
import type { RoundPath } from "./types.js";

/** What a stored path read, as measuring gave it: with the other side of a stereo bus. */
export function toMeasurement(path: RoundPath): Measurement {
  const { readings, curves, partner } = path;
  return {
    readings,
    absent: getAbsences(path),
    curves,
    ...(partner
      ? {
          partner: {
            side: partner.side,
            readings: partner.readings,
            absent: getAbsences(partner),
            curves: partner.curves,
          },
        }
      : {}),
  };
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
