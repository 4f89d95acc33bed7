/**
 * Whether a unit is that of a level relative to a fixed reference.
 *
 * @example
 * isLevelUnit("dBFS"); // true
 * isLevelUnit("dB"); // false
 */
export function isLevelUnit(unit: string): boolean {
  return /^dB\p{L}+$/u.test(unit);
}

/**
 * The unit of a difference: two levels with the same reference differ by decibels.
 *
 * @example
 * toDifferenceUnit("dBu"); // "dB"
 * toDifferenceUnit("Hz"); // "Hz"
 */
export function toDifferenceUnit(unit: string): string {
  return isLevelUnit(unit) ? "dB" : unit;
}
