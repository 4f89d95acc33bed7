import { isLevelUnit } from "../../text/level-units.js";

/** Units allowed after a number in expressions, besides those of readings. */
export const commonUnits = ["dB", "dBu", "dBFS", "Hz", "kHz", "%"] as const;

/** Whether the unit is logarithmic, so that changes are differences, not ratios. */
export function isDecibel(unit: string): boolean {
  return unit.startsWith("dB");
}

/**
 * Whether a unit can follow a number in an expression; dB/octave, for example, cannot, and the
 * number has no unit.
 */
export function isWritable(unit: string): boolean {
  return /^\p{L}+$/u.test(unit);
}

/** Unit of a sum; undefined if it makes no sense: levels do not add up. */
export function getSumUnit(a: string, b: string): string | undefined {
  if (isLevelUnit(a)) return b === "dB" ? a : undefined;
  if (isLevelUnit(b)) return a === "dB" ? b : undefined;
  return a === b ? a : undefined;
}

/** Unit of a − b; two levels with the same reference differ by decibels. */
export function getDifferenceUnit(a: string, b: string): string | undefined {
  if (isLevelUnit(a)) return b === a || b === "dB" ? (b === a ? "dB" : a) : undefined;
  return a === b ? a : undefined;
}

/** Unit of a · b; one of them must be a plain number, and the other must not be a level. */
export function getProductUnit(a: string, b: string): string | undefined {
  if (isLevelUnit(a) || isLevelUnit(b)) return undefined;
  if (a === "") return b;
  return b === "" ? a : undefined;
}

/** Unit of a / b. */
export function getQuotientUnit(a: string, b: string): string | undefined {
  if (isLevelUnit(a) || isLevelUnit(b)) return undefined;
  if (b === "") return a;
  return a === b ? "" : undefined;
}
