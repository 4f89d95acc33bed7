/**
 * Width of the band in which the ear sums noise around a tone.
 *
 * Source: E. Zwicker, E. Terhardt, "Analytical expressions for critical-band rate and critical
 * bandwidth as a function of frequency", J. Acoust. Soc. Am. 68(5), 1980, equation 2.
 *
 * @param hz frequency of the tone
 * @returns hertz
 * @example
 * computeCriticalBandwidth(1000).toFixed(0); // "162"
 */
export function computeCriticalBandwidth(hz: number): number {
  return 25 + 75 * (1 + 1.4 * (hz / 1000) ** 2) ** 0.69;
}

/**
 * Level of a tone just masked by noise, relative to the level of that noise in the critical band.
 *
 * Source: ISO/PAS 20065:2016, masking index; from memory.
 *
 * @param hz frequency of the tone
 * @returns decibels
 * @example
 * computeMaskingIndex(100).toFixed(1); // "-2.0"
 */
export function computeMaskingIndex(hz: number): number {
  return -2 - Math.log10(1 + (hz / 502) ** 2.5);
}
