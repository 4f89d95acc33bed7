import { DeskroundError } from "../errors.js";
import { formatCommand } from "../text/program-name.js";
import { parseRoundId } from "./round-id.js";
import { listRounds } from "./store.js";

/** The date at one moment may differ by this many days, from UTC−12 to UTC+14. */
export const zonesApartDays = 2;

/**
 * Refuses a round whose day comes from a clock that went backwards: it would sort before rounds
 * that were made earlier, and every comparison would be the wrong way round. A day that was named
 * is taken as meant, for recordings that are older than the last round. A computer that was carried
 * to another time zone has not gone backwards.
 *
 * @param folder the desk's folder
 * @param day of today by the computer's clock, YYYY-MM-DD
 * @throws DeskroundError `usage`
 */
export function assertClockForward(folder: string, day: string): void {
  const last = listFutureRounds(folder, day).at(-1);
  if (last === undefined) return;
  throw new DeskroundError(
    "usage",
    `This computer's clock says ${day}, but round ${last} lies in its future.`,
    `Set the clock if it is wrong. If round ${last} was made under a wrong clock, set it aside: ${formatCommand(`withdraw ${last} "wrong clock"`)}; its recordings can be analysed again. Or name the day of these recordings with --date.`,
  );
}

/** Rounds that count and are dated after a day, oldest first. */
export function listFutureRounds(folder: string, day: string): readonly string[] {
  return listRounds(folder).filter((id) => {
    const own = parseRoundId(id)?.day;
    return own !== undefined && daysBetween(day, own) > zonesApartDays;
  });
}

function daysBetween(earlier: string, later: string): number {
  return (Date.parse(later) - Date.parse(earlier)) / 86_400_000;
}
