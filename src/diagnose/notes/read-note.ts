import type { SectionKind } from "../../desk/section-kinds.js";
import { normalizeNote } from "./normalize-note.js";
import type { NoteReading } from "./noted-fault.js";
import { placeControl } from "./place-control.js";
import { readByRules } from "./read-by-rules.js";
import { settleReading } from "./settle-reading.js";

/**
 * Reads controls and symptoms from a note: by rules, which recognise what is denied, in order or
 * irrelevant, and if these find nothing or are unsure, by the words alone.
 *
 * @param text the note, verbatim
 * @param kind of the part of the desk that it is about; undefined for a strip
 * @example
 * readNote("fader scratchy and pan dead left").faults;
 * // [{ control: "fader", symptom: "scratch" }, { control: "pan", symptom: "dead" }]
 * readNote("no crackle any more"); // { faults: [], isInOrder: true }
 */
export function readNote(text: string, kind?: SectionKind): NoteReading {
  const plain = normalizeNote(text);
  const place = (reading: NoteReading): NoteReading => ({
    ...reading,
    faults: reading.faults.map((fault) => placeControl(fault, kind, text)),
  });
  return place(settleReading(place(readByRules(text, plain)), plain, kind));
}
