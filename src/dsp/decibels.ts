/** Decibels of an amplitude ratio. */
export function amplitudeDb(ratio: number): number {
  return 20 * Math.log10(ratio);
}

/** Decibels of a power ratio. */
export function powerDb(ratio: number): number {
  return 10 * Math.log10(ratio);
}

/** Amplitude ratio of a number of decibels. */
export function fromAmplitudeDb(db: number): number {
  return 10 ** (db / 20);
}

/** Decibels per neper: a small relative amplitude change of x is `nepersDb·x` decibels. */
export const nepersDb = 20 / Math.LN10;
