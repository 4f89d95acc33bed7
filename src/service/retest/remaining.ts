import { dbToPower, powerToDb } from "../../dsp/decibels.js";

/** What is known of a fault's reading before and after a repair; decibels, or the reading's unit. */
export interface FaultReading {
  /** As the fault made it, and its expanded uncertainty (95 %). */
  readonly before: number;
  readonly beforeUncertainty: number;
  /** What the siblings had then. */
  readonly expected: number;
  readonly now: number;
  /** 0 where `now` is an upper bound. */
  readonly nowUncertainty: number;
  /** What the siblings did since, and its standard uncertainty. */
  readonly shift: number;
  readonly shiftError: number;
  /** Standard deviation by which any reading may differ from one day to another. */
  readonly repeat: number;
}

/** For readings that add as powers. */
export interface FaultPower extends FaultReading {
  /** Standard deviation of healthy siblings: how far the path's own floor may lie from theirs. */
  readonly scatter: number;
  /** What the path's level did since: the fault's own share moves with it, its siblings' does too. */
  readonly levelShift: number;
}

/** Standard deviations of a 95 % interval, as in an expanded uncertainty. */
const coverage = 2;

/**
 * Whether a reading that adds linearly (gain, response, headroom) came back: it moved towards its
 * siblings by more than the 95 % interval of the difference, so that the interval is clear of what
 * the reading would be with the fault still there, which is its old value with the siblings' shift.
 *
 * @returns false where the interval holds the fault
 * @example
 * // 3 dB low, now like its siblings to 0.2 dB: the fault would show at −3 ± 0.2.
 * hasCleared({ before: -3, expected: 0, now: 0, nowUncertainty: 0.1, beforeUncertainty: 0.1, shift: 0,
 *   shiftError: 0.05, repeat: 0.05 });
 */
export function hasCleared(reading: FaultReading): boolean {
  const { before, beforeUncertainty, expected, now, nowUncertainty, shift, shiftError, repeat } =
    reading;
  const moved = now - (before + shift);
  const standard = Math.hypot(beforeUncertainty / 2, nowUncertainty / 2, shiftError, repeat);
  return moved * (expected - before) > 0 && Math.abs(moved) > coverage * standard;
}

/**
 * Whether a reading that adds as power (noise, hum, distortion) came back. What the fault added is
 * the power above the siblings'; were it still there, it would add to whatever the siblings have now.
 * The upper end of the reading's interval must lie below the lower end of that sum. Under a floor
 * that rose, the sum is hardly above the floor, and nothing can be told.
 *
 * @example
 * // 13 dB above siblings at −80, now −80: with the fault it would be −67.
 * hasPowerCleared({ before: -67, expected: -80, now: -80, scatter: 0.2, levelShift: 0, ... }); // true
 * // The same under a floor of −60: with the fault it would be −59.2, without it −60 ± 0.4.
 */
export function hasPowerCleared(reading: FaultPower): boolean {
  const { now, nowUncertainty, repeat, shiftError, scatter } = reading;
  const spread = coverage * Math.hypot(scatter, shiftError, repeat);
  return now + nowUncertainty < computeWithFault(reading, -spread);
}

/**
 * What a reading would be now if the fault were still there.
 *
 * @param floorOffset how far the path's own floor lies from its siblings', decibels
 */
export function computeWithFault(
  { before, beforeUncertainty, expected, shift, levelShift }: FaultPower,
  floorOffset = 0,
): number {
  const added = Math.max(0, dbToPower(before - beforeUncertainty) - dbToPower(expected));
  const floor = dbToPower(expected + shift + floorOffset);
  return powerToDb(added * dbToPower(levelShift) + floor);
}
