/**
 * What is left out of a stretch of a tone before it is read, seconds: at its beginning the flank and
 * the time that a path needs to settle.
 */
export const toneSettleS = 0.08;

/** The same where what matters is not the last hundredth of a decibel: breaks, gaps, a weak level. */
export const toneFlankS = 0.03;

/** Left out at a stretch's end: its flank. */
export const toneEndS = 0.015;
