import type { CauseKind } from "../cause-kind.js";
import { type CheckId, untouched } from "./check-kinds.js";

/**
 * How often a check clears what a cause has shown, 0 to 1.
 *
 * @example
 * const share = computeGoneShare(findCause("low-cut-left-in"), "low-cut");
 * share > 0.5; // true
 */
export function computeGoneShare({ answers = {} }: CauseKind, check: string): number {
  return answers[check as CheckId] ?? untouched;
}
