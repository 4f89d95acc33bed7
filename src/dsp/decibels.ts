/**
 * Decibels of an amplitude ratio.
 *
 * @example
 * amplitudeToDb(10); // 20
 */
export function amplitudeToDb(ratio: number): number {
  return 20 * Math.log10(ratio);
}

/**
 * Decibels of a power ratio.
 *
 * @example
 * powerToDb(10); // 10
 */
export function powerToDb(ratio: number): number {
  return 10 * Math.log10(ratio);
}

/**
 * Amplitude ratio of a number of decibels.
 *
 * @example
 * dbToAmplitude(-20); // 0.1
 */
export function dbToAmplitude(db: number): number {
  return 10 ** (db / 20);
}

/**
 * Power ratio of a number of decibels.
 *
 * @example
 * dbToPower(-20); // 0.01
 */
export function dbToPower(db: number): number {
  return 10 ** (db / 10);
}

/** Decibels per neper: a small relative amplitude change of x is `dbPerNeper·x` decibels. */
export const dbPerNeper = 20 / Math.LN10;

/** A small relative change of power of x is `dbPerPowerShare·x` decibels: half of those of amplitude. */
export const dbPerPowerShare = 10 / Math.LN10;
