import { readRoundUnlessDamaged } from "../../history/read-round-unless-damaged.js";
import { isSameDesk } from "../../history/same-desk.js";
import { listRounds } from "../../history/store.js";
import type { Round } from "../../history/types.js";

/** The properties of a round that decide with which earlier one it can be compared. */
export type RoundHead = Pick<Round, "desk" | "date" | "signal" | "calibration">;

/**
 * The latest stored round that a new one can be compared with: of the whole desk, of an earlier
 * day, with the same signal and in the same unit. Damaged ones are skipped.
 *
 * @param folder of the desk
 * @param profile whether it must have the same kind of signal
 * @returns undefined if there is none
 */
export async function findEarlierRound(
  folder: string,
  { desk, date, signal, calibration }: RoundHead,
  profile: "same" | "any" = "same",
): Promise<Round | undefined> {
  for (const id of [...listRounds(folder)].reverse()) {
    if (id.slice(0, 10) >= date.slice(0, 10)) continue;
    const earlier = await readRoundUnlessDamaged(folder, id);
    const isAlike =
      earlier !== undefined &&
      earlier.partial === undefined &&
      isSameDesk(earlier.desk, desk) &&
      (profile === "any" || earlier.signal.profile === signal.profile) &&
      earlier.signal.nominalDbfs === signal.nominalDbfs &&
      (earlier.calibration === null) === (calibration === null);
    if (isAlike) return earlier;
  }
  return undefined;
}
