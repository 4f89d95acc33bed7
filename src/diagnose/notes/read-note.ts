import { normalizeNote } from "./normalize-note.js";
import type { NoteReading } from "./noted-fault.js";
import { readByRules } from "./read-by-rules.js";
import { settleReading } from "./settle-reading.js";

/**
 * Takes a note's words for controls and symptoms: by rules, which know what is denied, in order or beside
 * the point, and where these find nothing or doubt it, by what the words alone say.
 *
 * @param text to the letter
 * @example
 * readNote("fader scratchy and pan dead left").faults;
 * // [{ control: "fader", symptom: "scratch" }, { control: "pan", symptom: "dead" }]
 * readNote("no crackle any more"); // { faults: [], isInOrder: true }
 */
export function readNote(text: string): NoteReading {
  const plain = normalizeNote(text);
  return settleReading(readByRules(text, plain), plain);
}
