/**
 * An input that is fed at a level this much lower than another has clearly more gain, and so more
 * noise of its own strip, decibels (common practice).
 */
const amplifiesMoreDb = 20;

/**
 * Whether of two inputs the one fed at the lower level amplifies clearly more.
 *
 * @param lowDbu level at the one's socket
 * @param highDbu level at the other's
 */
export function amplifiesMore(lowDbu: number, highDbu: number): boolean {
  return highDbu - lowDbu >= amplifiesMoreDb;
}
