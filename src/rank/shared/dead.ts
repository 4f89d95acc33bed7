import type { SharedAspect, SharedFinding } from "./types.js";

/** Decibels; a path with this loss carries only leakage (common practice, no source). */
const deadDb = -40;

/**
 * Whether a part that has lost level is as good as dead.
 *
 * @example
 * const lost = (deviation) => [{ reading: "gain", deviation, unit: "dB", value: deviation, expected: 0 }];
 * isDead("level", lost(-60)); // true
 * isDead("level", lost(-6)); // false
 * isDead("noise", lost(-60)); // false
 * isDead("level", []); // false
 */
export function isDead(aspect: SharedAspect, [first]: readonly SharedFinding[]): boolean {
  return aspect === "level" && first !== undefined && first.deviation <= deadDb;
}
