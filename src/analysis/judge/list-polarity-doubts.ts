import type { Doubt } from "../../doubt.js";
import type { RoundPath } from "../../history/types.js";
import { getReadingId } from "../../measure/reading-kinds.js";

/** Fewer returns than this do not show a common cause. */
const leastPaths = 3;

/**
 * A doubt if every path of a first round is inverted, which comparing siblings cannot show. Audio
 * equipment keeps polarity (AES26, Conservation of the polarity of audio signals; from memory), but
 * cable and interface are as likely to invert it as the desk.
 *
 * @param paths of the round
 * @param calibrated whether the interface's polarity was corrected
 *
 * @param earlier a comparable round: a change since then is reported as a change
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
