import type { MeterLine } from "./judge.js";

/**
 * Merges readings of one thing: the latest value of each point, so that a reading of one rail or
 * pin does not hide an earlier one of another.
 *
 * @param lines oldest first, one at least
 */
export function mergeReadings(lines: readonly MeterLine[]): MeterLine {
  const values = new Map(lines.flatMap((line) => line.values.map((value) => [value.at, value])));
  return { ...lines[lines.length - 1], values: [...values.values()] };
}
