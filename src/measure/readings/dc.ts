import type { ReadingKind } from "../reading-kind.js";

/** Whole cycles over the silence at which the noise is read: they know nothing of the mean. */
const cycles = [1, 2, 3] as const;
/** Student's factor for their six degrees of freedom, 95 %. */
const coverage = 2.45;
/** Samples summed before they are turned: the cycles are far slower. */
const block = 64;

/** Density of the noise near 0 Hz, one-sided: mean of the periodogram at the first whole cycles. */
function lowestDensity(hiss: Float64Array, sampleRate: number): number {
  const blocks = Math.floor(hiss.length / block);
  const sums = new Float64Array(blocks);
  for (let b = 0; b < blocks; b++) {
    let sum = 0;
    for (let n = b * block; n < (b + 1) * block; n++) sum += hiss[n];
    sums[b] = sum;
  }
  let power = 0;
  for (const k of cycles) {
    const turn = (2 * Math.PI * k) / blocks;
    let re = 0;
    let im = 0;
    for (let b = 0; b < blocks; b++) {
      re += sums[b] * Math.cos(turn * b);
      im += sums[b] * Math.sin(turn * b);
    }
    power += re * re + im * im;
  }
  return (2 * power) / (cycles.length * blocks * block * sampleRate);
}

/**
 * Mean of the silence in per cent of full scale; common practice. The variance of the mean of
 * noise of density S (one-sided) over a time T is S(0)/(2T).
 */
export const dc: ReadingKind<"dc"> = {
  id: "dc",
  name: "DC offset",
  unit: "%",
  definition: "mean of the silence in per cent of full scale",
  source: "common practice",
  segment: "silence",
  aspect: "offset",
  harm: "none",
  least: 0,
  share: "shift",
  priorScatter: "unknown",
  evidence: { group: "dc", order: 170 },
  leastChange: 0.5,
  detail: true,
  own: { adds: "difference" },
  read(context) {
    const quiet = context.quiet();
    if (typeof quiet === "string") return { absent: quiet };
    const { hiss, offset } = quiet;
    const { sampleRate } = context.audio;
    const density = lowestDensity(hiss, sampleRate);
    const deviation = Math.sqrt((density * sampleRate) / (2 * hiss.length));
    return { value: 100 * offset, unit: "%", uncertainty: 100 * coverage * deviation };
  },
};
