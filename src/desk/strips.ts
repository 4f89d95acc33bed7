import { normalizeName, validateStripName } from "./names.js";

/** More strips than any desk has; a typing error must not make a million paths. */
const mostStrips = 512;

/**
 * `1-12`, or with the same letters before both numbers, `A1-A12`; also with a typographic dash or
 * two dots.
 */
const rangePattern = /^(\p{L}*)(\d{1,6})\s*(?:[-–]|\.\.\.?|…)\s*(\p{L}*)(\d{1,6})$/u;

/** Whether a text is written as a range, usable or not. */
export function isRange(text: string): boolean {
  return rangePattern.test(text.trim());
}

export interface StripIssue {
  /** Index of the text that is wrong. */
  readonly item: number;
  readonly fault: string;
}

export interface StripList {
  readonly names: readonly string[];
  readonly faults: readonly StripIssue[];
}

/** Reads all strips of a desk: a number of them, or a text as for `expandStrips`. */
export function parseCountOrStrips(text: string): StripList {
  const count = text.trim();
  if (/^0+$/.test(count))
    return { names: [], faults: [{ item: 0, fault: "a desk has at least 1 strip" }] };
  if (/^\d+$/.test(count)) return expandStrips([`1-${count}`]);
  return expandStrips(text.split(","));
}

/**
 * Names of strips from texts that are names (`3A`) or ranges (`1-12`, `A1-A12`).
 *
 * @param texts one name or range each
 * @returns the names in the order given, and what is wrong: unusable names, names given twice
 */
export function expandStrips(texts: readonly string[]): StripList {
  const names: string[] = [];
  const faults: StripIssue[] = [];
  const seen = new Map<string, string>();
  texts.forEach((text, item) => {
    const expanded = expandOne(text.trim().normalize("NFC"));
    if (typeof expanded === "string") {
      faults.push({ item, fault: expanded });
      return;
    }
    for (const name of expanded) {
      const earlier = seen.get(removeLeadingZeros(name));
      if (earlier !== undefined) {
        faults.push({ item, fault: twice(earlier, name) });
        return;
      }
      seen.set(removeLeadingZeros(name), name);
      names.push(name);
    }
  });
  if (names.length > mostStrips) {
    faults.push({
      item: 0,
      fault: `${names.length} strips are more than the ${mostStrips} allowed`,
    });
  }
  return { names, faults };
}

function twice(earlier: string, name: string): string {
  if (earlier === name) return `strip ${name} is there twice`;
  const what = normalizeName(earlier) === normalizeName(name) ? "capitals" : "leading zeros";
  return `strips ${earlier} and ${name} differ only in ${what}`;
}

/** A name for comparison, without zeros before its number: `07` and `7` would be confused. */
export function removeLeadingZeros(name: string): string {
  return normalizeName(name).replace(/^(\p{L}*)0+(?=\d)/u, "$1");
}

/** Texts that cannot be a strip: a mistyped range, or a number abbreviated by a program. */
const typingError =
  /^\d+\.{2,}\d+$|^\d+(?:\.\d+)?e\+?\d+$|^\d+(?:-+\d*){2,}$|^\d+[-–_:~]+$|^\d+-{2,}\d+$/i;

/** The names in a text, or what is wrong with it. */
function expandOne(text: string): readonly string[] | string {
  const range = rangePattern.exec(text);
  if (range !== null && range[1] === range[3]) {
    const [, letters, from, , to] = range;
    return expandRange(letters ?? "", Number(from), Number(to));
  }
  if (typingError.test(text)) return `"${text}" is not a strip; a range is written 1-12`;
  const fault = validateStripName(text);
  return fault === undefined ? [text] : `strip "${text}": ${fault}`;
}

function expandRange(letters: string, from: number, to: number): readonly string[] | string {
  const count = to - from + 1;
  if (count < 1) {
    return `range ${letters}${from}-${letters}${to} holds no strip: the lower number first, ${letters}${to}-${letters}${from}`;
  }
  if (count > mostStrips) return `${count} strips are more than the ${mostStrips} allowed`;
  return Array.from({ length: count }, (_, i) => `${letters}${from + i}`);
}
