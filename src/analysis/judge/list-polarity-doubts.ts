import type { Doubt } from "../../doubt.js";
import type { RoundPath } from "../../history/types.js";
import { getReadingId } from "../../measure/reading-kinds.js";

/** Fewer returns than this show nothing in common. */
const leastPaths = 3;

/**
 * A doubt where every path of a first round comes back inverted, which no sibling contradicts. Sound
 * equipment keeps polarity (AES26, Conservation of the polarity of audio signals; from memory), but
 * the cable and the interface are as likely to turn it as the desk is.
 *
 * @param paths of the round
 * @param calibrated whether the interface's own polarity was taken off
 * @param earlier a comparable round: what changed since is told as a change
 * @returns one doubt or none
 *
 * @example
 * listPolarityDoubts([], { calibrated: false }); // []
 */
export function listPolarityDoubts(
  paths: readonly Pick<RoundPath, "readings">[],
  { calibrated, earlier }: { readonly calibrated: boolean; readonly earlier?: object | undefined },
): readonly Doubt[] {
  if (earlier !== undefined) return [];
  const values = paths.flatMap(({ readings }) => readings[getReadingId("polarity")]?.value ?? []);
  const isInverted = values.length >= leastPaths && values.every((value) => value < 0);
  return isInverted ? [{ code: "all-inverted", paths: values.length, calibrated }] : [];
}
