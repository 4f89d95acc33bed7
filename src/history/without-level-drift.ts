import { takeLevelDriftOff } from "../rank/shared/reference/take-level-drift-off.js";
import type { Round } from "./types.js";

/**
 * A round as if its level had stayed constant while it was recorded, as far as the reference path and the
 * paths between its turns show. Files keep the readings as they were measured.
 *
 * @returns the same round if there is nothing to subtract
 */
export function withoutLevelDrift<R extends Pick<Round, "reference" | "paths">>(round: R): R {
  const level = round.reference?.drift?.level;
  if (level?.taken === undefined) return round;
  return {
    ...round,
    paths: round.paths.map((path) => takeLevelDriftOff(path.path, path, level)),
  };
}
