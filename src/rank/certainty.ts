/** Nothing is certain before it has been looked at: no probability is more. */
export const mostCertain = 0.99;

/** Readings of a strip's paths hang together: their evidence counts at this share. */
export const stripEvidenceShare = 0.7;
