import { DeskroundError } from "../errors.js";
import { type DeskIdentity, isSameDesk } from "./same-desk.js";
import { listRounds, readRound } from "./store.js";
import type { Round } from "./types.js";

/**
 * The last whole round of a desk of an earlier day: what a fresh round is compared with unasked.
 * Rounds that are withdrawn, damaged, partial or of another desk are skipped.
 *
 * @param folder the desk's folder
 * @param day of the round in question, YYYY-MM-DD
 */
export async function readPreviousRound(
  folder: string,
  day: string,
  desk: DeskIdentity,
): Promise<Round | undefined> {
  for (const id of [...listRounds(folder)].reverse()) {
    if (id.slice(0, day.length) >= day) continue;
    try {
      const round = await readRound(folder, id);
      if (round.partial === undefined && isSameDesk(round.desk, desk)) return round;
    } catch (error) {
      if (!(error instanceof DeskroundError)) throw error;
    }
  }
  return undefined;
}
