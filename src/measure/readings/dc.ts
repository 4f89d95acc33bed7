import type { ReadingKind } from "../kind.js";

/** Bins of the spectrum above the window's own reach from 0 Hz that tell the noise there. */
const firstBin = 2;
const lastBin = 4;

/**
 * Mean of the silence in per cent of full scale; common practice. The variance of the mean of
 * noise of density S (one-sided) over a time T is S(0)/(2T).
 */
export const dc: ReadingKind = {
  id: "dc",
  name: "DC offset",
  unit: "%",
  harm: "none",
  least: 0,
  segment: "silence",
  own: { adds: "difference" },
  read(context) {
    const quiet = context.quiet();
    if (typeof quiet === "string") return { absent: quiet };
    const { hiss, spectrum } = quiet;
    let sum = 0;
    for (let n = 0; n < hiss.length; n++) sum += hiss[n];
    let density = 0;
    for (let k = firstBin; k <= lastBin; k++) density = Math.max(density, spectrum.density[k]);
    const seconds = hiss.length / context.audio.sampleRate;
    const deviation = Math.sqrt(density / (2 * seconds));
    return { value: (100 * sum) / hiss.length, unit: "%", uncertainty: 100 * 2 * deviation };
  },
};
