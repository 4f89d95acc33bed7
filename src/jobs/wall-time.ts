import { zonesApartDays } from "../history/clock.js";
/** The day asked for, at noon UTC as its hour is not known; else now, by the clock on the wall. */
export function getDate(day: string | undefined): string {
  return day === undefined ? localTime(new Date()) : `${day}T12:00:00.000Z`;
}

/** ISO 8601 with the offset from UTC: the day of a round is the day where it was made. */
function localTime(now: Date): string {
  const east = -now.getTimezoneOffset();
  const two = (value: number) => String(value).padStart(2, "0");
  const local = new Date(now.getTime() + east * 60_000).toISOString().slice(0, -1);
  const size = Math.abs(east);
  return `${local}${east < 0 ? "-" : "+"}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

/** Whether a day, YYYY-MM-DD, has not begun anywhere yet. */
export function isFutureDay(day: string, now: Date): boolean {
  return Date.parse(`${day}T00:00:00Z`) - now.getTime() > (zonesApartDays - 1) * 86_400_000;
}
