import { DeskroundError } from "../errors.js";
import { collapseSpace } from "../text/collapse-space.js";
import { getDate } from "./wall-time.js";

/** Fields of every new line of the notebook. */
export interface NoteHead {
  /** The desk's folder, or the desk file. */
  readonly desk: string;
  /** YYYY-MM-DD; now when absent. */
  readonly date?: string;
  readonly who?: string;
}

/** Date and name of a new line. @throws DeskroundError `usage` */
export function createNoteHead({ date, who }: NoteHead): { date: string; who?: string } {
  const name = who === undefined ? undefined : parseNoteLine(who, "name");
  return { date: getDate(date), ...(name ? { who: name } : {}) };
}

/**
 * A short text on one line.
 *
 * @param what its name in messages
 * @throws DeskroundError `usage` if it is empty or too long
 */
export function parseNoteLine(text: string, what: string): string {
  const line = collapseSpace(text);
  if (line !== "" && line.length <= 60) return line;
  throw new DeskroundError(
    "usage",
    line === "" ? `The ${what} is empty.` : `The ${what} "${line.slice(0, 60)}…" is too long.`,
    "Up to 60 characters, on one line.",
  );
}

/**
 * Parses a number of parts.
 *
 * @example
 * parseUsedPart("3x 10 µF 63 V"); // { what: "10 µF 63 V", count: 3 }
 */
export function parseUsedPart(text: string): { what: string; count: number } {
  const match = /^([-−]?\d+)\s*[x×]\s*(.+)$/u.exec(text.trim());
  const [count, what] = match === null ? [1, text] : [Number(match[1].replace("−", "-")), match[2]];
  if (count < 1 || count > 999) {
    throw new DeskroundError(
      "usage",
      `"${text}" says ${count} parts: 1 to 999 can be noted at once.`,
      'As in --part "2x 10 µF 63 V". What the part is called comes after the count and the x.',
    );
  }
  return { what: parseNoteLine(what, "part"), count };
}
