import type { BenchStep } from "../../diagnose/bench.js";
import { capitalize } from "../../text/capitalize.js";

/**
 * A step as a sentence, with its danger.
 *
 * @example
 * formatStep({ power: "in use", text: "swap the cable", danger: "phantom off first" });
 * // "Swap the cable (phantom off first)."
 */
export function formatStep({ text, danger }: BenchStep): string {
  return formatSentence(danger === undefined ? text : `${text} (${danger})`);
}

/** A clause as a sentence. */
export function formatSentence(text: string): string {
  return `${capitalize(text)}.`;
}
