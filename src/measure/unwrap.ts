import { findReadingKind } from "./reading-kinds.js";
import type { Readings } from "./types.js";

/**
 * Shifts cyclic readings, such as phases, by whole periods to within half a period of another
 * value, so that they can be compared by difference.
 *
 * @param near by reading id: the value that each should be near; others are not changed
 *
 * @returns the same object if nothing changes
 *
 * @example
 * const phase = { stereoPhase: { value: -179, unit: "°", uncertainty: 1 } };
 * unwrapReadings(phase, { stereoPhase: 178 }).stereoPhase.value; // 181
 */
export function unwrapReadings(
  readings: Readings,
  near: Readonly<Record<string, number>>,
): Readings {
  let moved = readings;
  for (const [id, at] of Object.entries(near)) {
    const reading = readings[id];
    const period = findReadingKind(id)?.period;
    if (reading === undefined || period === undefined) continue;
    const turns = Math.round((at - reading.value) / period);
    if (turns === 0) continue;
    moved = { ...moved, [id]: { ...reading, value: reading.value + turns * period } };
  }
  return moved;
}

/**
 * The mean of cyclic values: the direction of their vector sum.
 *
 * @param period of the values; the result lies within half of it to either side of 0
 *
 * @example
 * Math.abs(circularMean([170, -170], 360)).toFixed(6); // "180.000000"
 */
export function circularMean(values: readonly number[], period: number): number {
  const turn = (2 * Math.PI) / period;
  const sum = (of: (angle: number) => number) =>
    values.reduce((total, value) => total + of(value * turn), 0);
  return Math.atan2(sum(Math.sin), sum(Math.cos)) / turn;
}
