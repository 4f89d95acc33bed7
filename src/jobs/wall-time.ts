import { zonesApartDays } from "../history/clock.js";
/** The given day at noon UTC, as its hour is unknown; otherwise the local time now. */
export function getDate(day: string | undefined): string {
  return day === undefined ? localTime(new Date()) : `${day}T12:00:00.000Z`;
}

/** ISO 8601 with the offset from UTC: a round's day is the local one. */
function localTime(now: Date): string {
  const east = -now.getTimezoneOffset();
  const two = (value: number) => String(value).padStart(2, "0");
  const local = new Date(now.getTime() + east * 60_000).toISOString().slice(0, -1);
  const size = Math.abs(east);
  return `${local}${east < 0 ? "-" : "+"}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

/** Whether a day, YYYY-MM-DD, has not yet begun in any time zone. */
export function isFutureDay(day: string, now: Date): boolean {
  return Date.parse(`${day}T00:00:00Z`) - now.getTime() > (zonesApartDays - 1) * 86_400_000;
}
