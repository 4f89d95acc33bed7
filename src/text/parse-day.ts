/** A day as it was understood, or why it was not and how to write it. */
export type ParsedDay = { readonly day: string } | { readonly fault: string };

/**
 * A day of the calendar as people write it: `2031-03-14` (ISO 8601), `2031-3-14`, `2031/03/14`,
 * `14.3.2031`, `14/3/2031` since 14 cannot be a month, `today`, `yesterday`.
 *
 * @param text what was written
 * @param now for `today` and `yesterday`
 * @returns the day as YYYY-MM-DD
 * @example
 * parseDay("14.3.2031"); // { day: "2031-03-14" }
 */
export function parseDay(text: string, now: Date = new Date()): ParsedDay {
  const written = text.trim().toLowerCase();
  if (written === "today" || written === "yesterday") {
    const back = written === "today" ? 0 : 1;
    const local = new Date(now.getFullYear(), now.getMonth(), now.getDate() - back);
    return { day: formatDay(local.getFullYear(), local.getMonth() + 1, local.getDate()) };
  }
  const iso = /^(\d{4})([-/.])(\d{1,2})\2(\d{1,2})$/.exec(written);
  if (iso !== null) return check(Number(iso[1]), Number(iso[3]), Number(iso[4]));
  const dotted = /^(\d{1,2})\. ?(\d{1,2})\. ?(\d{4})$/.exec(written);
  if (dotted !== null) return check(Number(dotted[3]), Number(dotted[2]), Number(dotted[1]));
  const turned = /^(\d{1,2})([/-])(\d{1,2})\2(\d{4})$/.exec(written);
  if (turned !== null) {
    const [a, b, year] = [Number(turned[1]), Number(turned[3]), Number(turned[4])];
    if (a === b || b > 12) return check(year, a, b);
    if (a > 12) return check(year, b, a);
    return {
      fault: `It could be ${formatDay(year, b, a)} or ${formatDay(year, a, b)}: write which.`,
    };
  }
  const short = /^(\d{1,2})[./-](\d{1,2})[./-](\d{2})$/.exec(written);
  if (short !== null) {
    return { fault: "The year has four digits: 14.3.2031 or 2031-03-14 (YYYY-MM-DD)." };
  }
  return { fault: "A day is written YYYY-MM-DD or 14.3.2031." };
}

function check(year: number, month: number, day: number): ParsedDay {
  const time = new Date(Date.UTC(year, month - 1, day));
  const exists = time.getUTCMonth() === month - 1 && time.getUTCDate() === day;
  if (month >= 1 && exists) return { day: formatDay(year, month, day) };
  return { fault: "There is no such day: it is written YYYY-MM-DD." };
}

function formatDay(year: number, month: number, day: number): string {
  const two = (number: number) => String(number).padStart(2, "0");
  return `${String(year).padStart(4, "0")}-${two(month)}-${two(day)}`;
}
