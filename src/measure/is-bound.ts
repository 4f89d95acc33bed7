import type { Reading } from "./types.js";

/**
 * The uncertainty that a bound is given, decibels. Points of a curve with as much or more are bounds;
 * estimates have less.
 */
export const boundDb = 6;

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

/**
 * On which side of its bound a reading's true value lies below or above it; undefined for a value.
 * Rounds of earlier programs do not say that what noise set is an upper bound.
 *
 * @example
 * getBoundSide({ value: -110, unit: "dB", uncertainty: 6, limitedBy: "noise" }); // "upper"
 * getBoundSide({ value: 50, unit: "dB", uncertainty: 6, bound: "lower" }); // "lower"
 */
export function getBoundSide({
  bound,
  limitedBy,
}: Pick<Reading, "bound" | "limitedBy">): "upper" | "lower" | undefined {
  return bound ?? (limitedBy === "noise" ? "upper" : undefined);
}
