/** Decibels of an amplitude ratio. */
export function amplitudeToDb(ratio: number): number {
  return 20 * Math.log10(ratio);
}

/** Decibels of a power ratio. */
export function powerToDb(ratio: number): number {
  return 10 * Math.log10(ratio);
}

/** Amplitude ratio of a number of decibels. */
export function dbToAmplitude(db: number): number {
  return 10 ** (db / 20);
}

/** Decibels per neper: a small relative amplitude change of x is `dbPerNeper·x` decibels. */
export const dbPerNeper = 20 / Math.LN10;
