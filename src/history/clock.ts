import { DeskroundError } from "../errors.js";
import { roundIdParts } from "./round-id.js";
import { listRounds } from "./store.js";

/**
 * Refuses a round whose day comes from a clock that went backwards: it would stand before rounds that
 * were made before it, and every comparison would be the wrong way round. A day that was named is
 * taken as meant, for recordings that are older than the last round.
 *
 * @param folder the desk's folder
 * @param day of today by the computer's clock, YYYY-MM-DD
 * @throws DeskroundError `usage`
 */
export function requireClockForward(folder: string, day: string): void {
  const last = listRounds(folder).at(-1);
  const lastDay = last === undefined ? undefined : roundIdParts(last)?.day;
  if (lastDay === undefined || day >= lastDay) return;
  throw new DeskroundError(
    "usage",
    `This computer's clock says ${day}, but the last round ${last} is later.`,
    "Set the clock, or name the day of the recordings with --date.",
  );
}
