/** Largest probability: nothing is certain before it has been inspected. */
export const mostCertain = 0.99;

/** Readings of a strip's paths are correlated: their evidence is weighted by this. */
export const stripEvidenceShare = 0.7;
