import { findReadingKind } from "./reading-kinds.js";
import type { Readings } from "./types.js";

/**
 * Readings with those that come round again, as a phase does, moved by whole turns to within half a
 * turn of another value, so that they can be compared by difference.
 *
 * @param near by reading id: what each is to lie near; others are left as they are
 * @returns the same object where nothing moves
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
 * The middle of values that come round again: the direction of their sum on the circle.
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
