import { judgeMeter, type MeterLine } from "../meter/judge.js";
import { interpretNote } from "../plan/interpret-note.js";
import type { Entry } from "./types.js";

/** Whether a note still asks for something: a reading in order does not, nor one that all is well. */
export function isOpenNote(entry: Entry): boolean {
  const { line, closed } = entry;
  if (line.kind === "repair" || line.kind === "accept" || closed !== undefined) return false;
  if (line.kind === "meter") return judgeMeter(line as MeterLine).verdict !== "in";
  return line.kind !== "fault" || !interpretNote(entry).isInOrder;
}
