import { normalizeNote } from "../../diagnose/notes/normalize-note.js";
import type { NotedFault } from "../../diagnose/notes/noted-fault.js";
import { weighWords } from "../../diagnose/notes/weigh-words.js";

/** Least probability of symptom and control, by the words, for a single fault. */
const least = { symptom: 0.1, control: 0.03 };
/** Words for several at once: then their supply failed, not each of them. */
const ofMany = /\b(?:all|every|whole|most|none|various|several|many|each) (?!the way)/;
/** A light that goes out: more often a consequence of another fault. */
const ofLight = /\blights? (?:goes|go|went|come|comes|came) (?:out|dim|off|on)\b/;
/** Several lights dim at once: more often their supply. */
const ofLights =
  /\b(?:leds|lamps|lights|bulbs|indicators) (?:are |were |all |now )*(?:dim|dimmed|weak|faint)\b/;
/** Words for what somebody did, wants or should do. */
const ofPeople =
  /^(?:please |pls |plz )?(?:send|tell|ask|call|book|bring|print|remind|lend|borrow|return|give|play|export|bounce) (?:the|a|an|me|him|her|them|it|us|this|that)\b|\b(?:tripped over|put a new one|wants? to be|new one (?:in|fitted)|has been (?:replaced|cleaned|swapped)|(?:already|just) (?:replaced|cleaned|swapped|fixed))\b|, (?:ok|okay|all good|fine now|sorted|fixed|done)$/;

/**
 * Whether a note names a fault so clearly that parts should be ready: a rule recognised it, the
 * word statistics do not contradict it, and the note mentions no danger, no group of things and no
 * work done. If in doubt it is not clear: the fault is inspected first.
 *
 * @param fault as recognised by a rule
 *
 * @param faults all faults recognised in the note
 *
 * @param text the note, verbatim
 * @example
 * const fault = { control: "fader", symptom: "scratch" } as const;
 * speaksForParts(fault, [fault], "fader scratchy"); // true
 * speaksForParts(fault, [fault], "send the fader that scratches to Ann"); // false
 */
export function speaksForParts(
  fault: NotedFault,
  faults: readonly NotedFault[],
  text: string,
): boolean {
  const { control, symptom } = fault;
  const plain = normalizeNote(text);
  if (ofPeople.test(plain)) return false;
  if (control === "send" && /\b(?:out|outs|outputs?)\b/.test(plain)) return false;
  const others = faults.filter((one) => one !== fault);
  if (symptom === "dark") {
    const isSide = others.some((one) => one.control === undefined || one.symptom === "dead");
    if (isSide || [ofMany, ofLight, ofLights].some((words) => words.test(plain))) return false;
  }
  // With two faults, word statistics cannot judge each of them.
  if (others.length > 0) return true;
  const logs = weighWords("symptom", plain);
  const dead = symptom === "dark" ? Math.exp(logs.get("dead") ?? 0) : 0;
  return (
    dead + Math.exp(logs.get(symptom) ?? Number.NEGATIVE_INFINITY) >= least.symptom &&
    // "Mute LED": the words find the mute.
    (symptom === "dark" ||
      Math.exp(weighWords("control", plain).get(control) ?? Number.NEGATIVE_INFINITY) >=
        least.control)
  );
}
