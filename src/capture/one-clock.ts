/** One interface has one clock; its drivers cause no more difference than this, ppm. */
const oneClockPpm = 2;

/**
 * Whether player and recorder had a clock each, so that they were two devices (common practice).
 *
 * @param driftPpm how fast the recorder's clock is against the player's
 * @example
 * hasTwoClocks(0.4); // false
 */
export function hasTwoClocks(driftPpm: number): boolean {
  return Math.abs(driftPpm) > oneClockPpm;
}
