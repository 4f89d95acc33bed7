import { judgeMeter, type MeterLine } from "../meter/judge.js";
import { interpretNote } from "../plan/interpret-note.js";
import type { Entry } from "./types.js";

/** Kinds of lines that need no action. */
const asksNothing: readonly Entry["line"]["kind"][] = ["repair", "accept", "check"];

/**
 * Whether a note still needs action: a reading within tolerance does not, nor a note that all is
 * well.
 */
export function isOpenNote(entry: Entry): boolean {
  const { line, closed } = entry;
  if (closed !== undefined || asksNothing.includes(line.kind)) return false;
  if (line.kind === "meter") return judgeMeter(line as MeterLine).verdict !== "in";
  return line.kind !== "fault" || !interpretNote(entry).isInOrder;
}
