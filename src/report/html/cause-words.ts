import { findCause } from "../../diagnose/causes.js";
import type { Cause } from "../../diagnose/types.js";

const longest = 12;

/**
 * The cause in a word; for a cause that this program does not know, the start of its stored name.
 */
export function formatCauseWord({ cause, name }: Cause): string {
  const word = findCause(cause)?.word ?? name;
  return word.length <= longest ? word : `${word.slice(0, longest - 1)}…`;
}

/** "dried coupling capacitor (96 %)". */
export function formatCauseText({ name, probability }: Cause): string {
  return probability === undefined ? name : `${name} (${formatPercent(probability)})`;
}

/** A share in whole per cent, with no line break before the sign. */
export function formatPercent(share: number): string {
  return `${Math.round(100 * share)}\u00A0%`;
}
