import { normalizeNote } from "../../diagnose/notes/normalize-note.js";
import type { NotedFault } from "../../diagnose/notes/noted-fault.js";
import { weighWords } from "../../diagnose/notes/weigh-words.js";

/** A single fault's symptom and control are by the words themselves at least as likely as this. */
const least = { symptom: 0.1, control: 0.03 };
/** All of them went: what feeds them failed, and not each. */
const ofMany = /\b(?:all|every|whole|most|none|various|several|many|each) (?!the way)/;
/** A light that goes out, and what goes with it: more often what another fault does. */
const ofLight = /\blights? (?:goes|go|went|come|comes|came) (?:out|dim|off|on)\b/;
/** Several lights that are dim at once: more often what feeds them. */
const ofLights =
  /\b(?:leds|lamps|lights|bulbs|indicators) (?:are |were |all |now )*(?:dim|dimmed|weak|faint)\b/;
/** What somebody did, wants or is to do. */
const ofPeople =
  /^(?:please |pls |plz )?(?:send|tell|ask|call|book|bring|print|remind|lend|borrow|return|give|play|export|bounce) (?:the|a|an|me|him|her|them|it|us|this|that)\b|\b(?:tripped over|put a new one|wants? to be|new one (?:in|fitted)|has been (?:replaced|cleaned|swapped)|(?:already|just) (?:replaced|cleaned|swapped|fixed))\b|, (?:ok|okay|all good|fine now|sorted|fixed|done)$/;

/**
 * Whether a fault of a note is named so plainly that its parts are to be had ready: where a rule
 * read it and the words on their own do not speak against it, nothing dangerous is said, and
 * neither all of a kind nor what somebody did is spoken of. In doubt it is not: the fault is looked
 * at first.
 *
 * @param fault what a rule read
 * @param faults all that were read of the note
 * @param text the note, to the letter
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
  // Of two faults the words say no more than that there are both.
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
