import type { Reading } from "./types.js";

/**
 * The uncertainty that a bound is given, decibels. Points of a curve with as much or more are bounds;
 * estimates have less.
 */
export const boundDb = 6;

/**
 * Whether a reading only says that the true value is on one side of it.
 *
 * @example
 * isBound({ value: -110, unit: "dB", uncertainty: 6, limitedBy: "noise" }); // true
 * isBound({ value: -80, unit: "dB", uncertainty: 0.1 }); // false
 */
export function isBound({ bound, limitedBy }: Pick<Reading, "bound" | "limitedBy">): boolean {
  return bound !== undefined || limitedBy === "noise";
}

/**
 * Whether a reading is an upper or lower bound; undefined for a value. Rounds of earlier programs
 * do not mark readings limited by noise as upper bounds.
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
