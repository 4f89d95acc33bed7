import type { Reading } from "./types.js";

/**
 * Whether a reading says no more than that the true value lies on one side of it.
 *
 * @example
 * isBound({ value: -110, unit: "dB", uncertainty: 6, limitedBy: "noise" }); // true
 * isBound({ value: -80, unit: "dB", uncertainty: 0.1 }); // false
 */
export function isBound({ bound, limitedBy }: Pick<Reading, "bound" | "limitedBy">): boolean {
  return bound !== undefined || limitedBy === "noise";
}
