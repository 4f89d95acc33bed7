/** Seconds left out at the beginning of a tone: the flank and the settling of the path. */
export const toneSettleS = 0.08;

/** The same where hundredths of a decibel do not matter: breaks, gaps, weak levels. */
export const toneFlankS = 0.03;

/** Seconds left out at the end: the flank. */
export const toneEndS = 0.015;
