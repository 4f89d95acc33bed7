import { type CauseId, findCause } from "../../diagnose/causes.js";
import type { Answer } from "../../sitting/types.js";

/** What a hand at the desk does first, before anything else is believed; common practice. */
const firstTry: Readonly<Partial<Record<CauseId, string>>> = {
  "no-signal": "is the plug in, the strip routed and unmuted, the fader up?",
  "nothing-patched": "is the plug in, and in this socket?",
  "open-leg": "is the plug fully in? Push it home, or try another cable",
  "dirty-contact": "turn the plug and work the switches of this path a few times",
  "dirty-insert-normal": "push a plug in and out of the insert a few times",
  "dry-joint": "turn the plug in its socket",
  "wrong-path-recorded": "look which socket the plug is in",
  "takes-swapped": "look which socket the plug is in",
  "low-cut-left-in": "is the low-cut switched in?",
  "equaliser-left-in": "is the equaliser switched in?",
  "pad-in": "is the pad, or the mic/line switch, where the sheet wants it?",
  "gain-off": "are gain, fader and pan at their marks?",
  "worn-gain-control": "turn the gain from end to end a few times and back to its mark",
  "worn-control": "turn the control from end to end a few times and back to its mark",
  "polarity-reversed": "is the polarity switch out? Try another cable",
  "ground-hum": "try another cable, and the interface's ground lift where there is one",
};

/**
 * What to try at once, the desk closed and in use; empty where only a repair would help.
 *
 * @returns a sentence without its full stop
 */
export function formatTryNow({
  cause,
  standing,
  clipped,
}: Pick<Answer, "cause" | "standing" | "clipped">): string {
  if (clipped) return "turn down the interface's input and take it again";
  if (cause === undefined)
    return standing === "alike" || standing === "unjudged"
      ? ""
      : "is the plug fully in? Take it again";
  const first = firstTry[cause.cause as CauseId];
  if (first !== undefined) return first;
  const settle = findCause(cause.cause)?.settle;
  return settle?.power === "in use"
    ? settle.text
    : "is the plug fully in? Take it again to be sure";
}
