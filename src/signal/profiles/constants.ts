import type { SignalBand } from "../types.js";

export const bands: readonly SignalBand[] = ["base", "wide"];

/**
 * Level of sweep, tones and markers. 18 dB below full scale leaves room for the level steps up
 * to clipping on a desk with headroom in the low twenties of dBu, fed from an interface whose full
 * scale is about the same (common practice).
 */
export const nominalDbfs = -18;

/** Spacing of a marker's chirps, plus a step for each kind of signal: the spacing identifies it. */
export const spacingBaseS = 0.17;
export const spacingStepS = 0.01;
/**
 * Smaller steps on top of that identify the output of a pass: some in the start marker, some in the
 * end marker. They never add up to the next kind's spacing.
 */
export const outputSteps = 4;
export const outputStepS = 0.0025;
export const markerS = 0.5;

export const sweepEdges: Readonly<Record<SignalBand, { fromHz: number; toHz: number }>> = {
  base: { fromHz: 5, toHz: 21_000 },
  wide: { fromHz: 5, toHz: 42_000 },
};

/**
 * Pips that count in the move of a control, and end it. They are below the markers' chirps (440 Hz,
 * the chirps start at 500 Hz), last longer than a click and have the tones' flanks. Their times are
 * known, so nothing is measured there.
 */
export const pip = {
  frequencyHz: 440,
  lengthS: 0.12,
  spacingS: 0.5,
  belowNominalDb: 6,
} as const;
export const gapS = 0.05;
