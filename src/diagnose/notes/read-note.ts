import type { SectionKind } from "../../desk/section-kinds.js";
import { normalizeNote } from "./normalize-note.js";
import type { NoteReading } from "./noted-fault.js";
import { placeControl } from "./place-control.js";
import { readByRules } from "./read-by-rules.js";
import { settleReading } from "./settle-reading.js";

/**
 * Takes a note's words for controls and symptoms: by rules, which know what is denied, in order or beside
 * the point, and where these find nothing or doubt it, by what the words alone say.
 *
 * @param text to the letter
 * @param kind of the part of the desk that it is of; undefined for a strip
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
