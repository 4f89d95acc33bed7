import type { ReadingKind } from "../kind.js";

/** The lowest bins of the spectrum that the removed mean does not touch. */
const firstBin = 1;
const lastBin = 3;
/** Few bins tell the noise: a little more than twice the deviation holds 95 %. */
const coverage = 2.1;

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
    const { hiss, offset, spectrum } = quiet;
    let density = 0;
    for (let k = firstBin; k <= lastBin; k++) density += spectrum.density[k];
    density /= lastBin - firstBin + 1;
    const seconds = hiss.length / context.audio.sampleRate;
    const deviation = Math.sqrt(density / (2 * seconds));
    return { value: 100 * offset, unit: "%", uncertainty: 100 * coverage * deviation };
  },
};
