import type { SharedAspect, SharedFinding } from "./types.js";

/** What loses this much carries nothing but what leaks across, decibels (common practice). */
const deadDb = -40;

/** Whether a part that has lost level is as good as dead. */
export function isDead(aspect: SharedAspect, [first]: readonly SharedFinding[]): boolean {
  return aspect === "level" && first !== undefined && first.deviation <= deadDb;
}
