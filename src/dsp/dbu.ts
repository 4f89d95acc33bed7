import { amplitudeToDb } from "./decibels.js";

/** 0 dBu is √0.6 V: 1 mW in 600 Ω (IEC 60268-17 and trade use). */
export const zeroDbuVolts = Math.sqrt(0.6);

/**
 * Level of a voltage, dBu.
 *
 * @example
 * voltsToDbu(0.7746).toFixed(2); // "0.00"
 */
export function voltsToDbu(volts: number): number {
  return amplitudeToDb(volts / zeroDbuVolts);
}
