import { dbToPower, powerToDb } from "../../dsp/decibels.js";

/** A faulty reading before and after a repair; decibels, or the reading's unit. */
export interface FaultReading {
  /** Reading with the fault, and its expanded uncertainty (95 %). */
  readonly before: number;
  readonly beforeUncertainty: number;
  /** Reading of the siblings then. */
  readonly expected: number;
  readonly now: number;
  /** 0 if `now` is an upper bound. */
  readonly nowUncertainty: number;
  /** Change of the siblings since, and its standard uncertainty. */
  readonly shift: number;
  readonly shiftError: number;
  /** Standard deviation of a reading from day to day. */
  readonly repeat: number;
}

/** For readings that add as powers. */
export interface FaultPower extends FaultReading {
  /** Standard deviation of healthy siblings: uncertainty of the path's own floor. */
  readonly scatter: number;
  /**
   * Change of the path's level since: the fault's contribution and the siblings' change with it.
   */
  readonly levelShift: number;
}

/** Standard deviations of a 95 % interval, as in an expanded uncertainty. */
const coverage = 2;

/**
 * Whether a reading that adds linearly (gain, response, headroom) recovered: it moved towards its
 * siblings by more than the 95 % interval of the difference, so that the interval excludes the
 * reading with the fault still present, which is its old value plus the siblings' change.
 *
 * @returns false if the interval includes the fault
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
 * Whether a reading that adds as power (noise, hum, distortion) recovered. The fault's contribution
 * is the power above the siblings'; if still present, it would add to the siblings' present
 * reading. The upper end of the reading's interval must be below the lower end of that sum. If the
 * floor has risen, the sum is hardly above it, and no decision is possible.
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
 * The reading expected now if the fault were still there.
 *
 * @param floorOffset difference of the path's own floor from its siblings', decibels
 */
export function computeWithFault(
  { before, beforeUncertainty, expected, shift, levelShift }: FaultPower,
  floorOffset = 0,
): number {
  const added = Math.max(0, dbToPower(before - beforeUncertainty) - dbToPower(expected));
  const floor = dbToPower(expected + shift + floorOffset);
  return powerToDb(added * dbToPower(levelShift) + floor);
}
