import { findCause } from "../../diagnose/causes.js";
import type { Answer } from "../../sitting/types.js";

/**
 * What to try at once, with the desk closed and in use; empty if only a repair would help.
 *
 * @returns a sentence without its full stop
 */
export function formatTryNow({
  cause,
  standing,
  clipped,
}: Pick<Answer, "cause" | "standing" | "clipped">): string {
  if (clipped) return "turn down the interface's input and play it again";
  if (cause === undefined)
    return standing === "alike" || standing === "unjudged"
      ? ""
      : "is the plug fully in? Play it again";
  const { tryNow, settle } = findCause(cause.cause) ?? {};
  if (tryNow !== undefined) return tryNow;
  return settle?.power === "in use"
    ? settle.text
    : "is the plug fully in? Play it again to be sure";
}
