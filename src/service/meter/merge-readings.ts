import type { MeterLine } from "./judge.js";

/**
 * Readings of one thing as one: of each point the latest value, so that a reading of one rail or
 * pin does not hide what another showed before.
 *
 * @param lines oldest first, one at least
 */
export function mergeReadings(lines: readonly MeterLine[]): MeterLine {
  const values = new Map(lines.flatMap((line) => line.values.map((value) => [value.at, value])));
  return { ...lines[lines.length - 1], values: [...values.values()] };
}
