import { compute468Weighting, computeAWeighting } from "../../dsp/weighting.js";
import type { OwnBand } from "../reading-kind.js";

/**
 * Power weight at a frequency, by the weighting of a band.
 *
 * @example
 * ownWeightings.flat(50); // 1
 * // IEC 61672-1: 30.2 dB less at 50 Hz.
 * (10 * Math.log10(ownWeightings.A(50))).toFixed(1); // "-30.3"
 */
export const ownWeightings: Readonly<Record<OwnBand["weighting"], (hz: number) => number>> = {
  flat: () => 1,
  A: (hz) => computeAWeighting(hz) ** 2,
  "468": (hz) => {
    const { re, im } = compute468Weighting(hz);
    return re * re + im * im;
  },
};
