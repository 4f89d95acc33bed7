import type { SignalBand } from "../types.js";

export const bands: readonly SignalBand[] = ["base", "wide"];

/**
 * Level of sweep, tones and markers. 18 dB below full scale leaves room for the level steps up
 * to clipping of a desk with headroom in the low twenties of dBu, fed from an interface whose
 * full scale lies there too (common practice).
 */
export const nominalDbfs = -18;

/** Chirps lie this far apart, plus a step for each kind of signal: the spacing is its name. */
export const spacingBaseS = 0.17;
export const spacingStepS = 0.01;
/**
 * Which output of a pass plays is told by small steps beside that: so many of them by the start
 * marker and as many by the end marker. No step reaches the next kind's spacing.
 */
export const outputSteps = 4;
export const outputStepS = 0.0025;
export const markerS = 0.5;

export const sweepEdges: Readonly<Record<SignalBand, { fromHz: number; toHz: number }>> = {
  base: { fromHz: 5, toHz: 21_000 },
  wide: { fromHz: 5, toHz: 42_000 },
};

/**
 * Count in the moving of a control, and end it. The pips lie below the markers' chirps (440 Hz
 * against 500 Hz and up), last longer than a click and have the tones' flanks; where they lie is
 * known, so that nothing is read there.
 */
export const pip = {
  frequencyHz: 440,
  lengthS: 0.12,
  spacingS: 0.5,
  belowNominalDb: 6,
} as const;
export const gapS = 0.05;
