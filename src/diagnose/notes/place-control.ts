import type { SectionKind } from "../../desk/section-kinds.js";
import type { Symptom } from "../note-vocabulary.js";
import type { NotedFault } from "./noted-fault.js";

/**
 * At a send or a meter the place shows which control is meant: `aux 2`, "knob scratchy".
 *
 * @param fault as read
 * @param kind of the part of the desk that the note is about; undefined for a strip
 * @param text the note, verbatim
 * @example
 * placeControl({ symptom: "scratch" }, "send", "knob scratchy"); // { symptom: "scratch", control: "send" }
 */
export function placeControl(
  fault: NotedFault,
  kind: SectionKind | undefined,
  text: string,
): NotedFault {
  const { control, symptom } = fault;
  if (control !== undefined || symptom === undefined) return fault;
  if (kind === "send" && handled.includes(symptom) && !outward.test(text)) {
    // Without a word for the control it is a guess, and nothing is ordered for it.
    return { ...fault, control: "send", ...(turned.test(text) ? {} : { isVague: true }) };
  }
  return kind === "meters" && shown.includes(symptom) ? { ...fault, control: "meter" } : fault;
}
const turned = /\b(?:knobs?|pots?|controls?|faders?|potentiometers?|dials?)\b/i;
const handled: readonly Symptom[] = ["scratch", "intermittent", "stuck", "loose"];
const outward = /\b(?:out|outs|outputs?|sockets?|jacks?|plugs?|lamps?|leds?|lights?)\b/i;
const shown: readonly Symptom[] = ["stuck", "dead", "unsteady", "intermittent", "quiet", "loud"];
