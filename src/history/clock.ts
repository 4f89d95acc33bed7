import { DeskroundError } from "../errors.js";
import { parseRoundId } from "./round-id.js";
import { listRounds } from "./store.js";

/** Days by which the same moment may be named apart, from UTC−12 to UTC+14. */
const zonesApartDays = 2;

/**
 * Refuses a round whose day comes from a clock that went backwards: it would stand before rounds that
 * were made before it, and every comparison would be the wrong way round. A day that was named is
 * taken as meant, for recordings that are older than the last round. A computer that was carried to
 * another time zone has not gone backwards.
 *
 * @param folder the desk's folder
 * @param day of today by the computer's clock, YYYY-MM-DD
 * @throws DeskroundError `usage`
 */
export function assertClockForward(folder: string, day: string): void {
  const last = listRounds(folder).at(-1);
  const lastDay = last === undefined ? undefined : parseRoundId(last)?.day;
  if (lastDay === undefined || daysBetween(day, lastDay) <= zonesApartDays) return;
  throw new DeskroundError(
    "usage",
    `This computer's clock says ${day}, but the last round ${last} is later.`,
    "Set the clock, or name the day of the recordings with --date.",
  );
}

function daysBetween(earlier: string, later: string): number {
  return (Date.parse(later) - Date.parse(earlier)) / 86_400_000;
}
