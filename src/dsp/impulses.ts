import { computeButterworthHighPass, createBiquadRunner } from "./biquad.js";
import { findBlockPeaks } from "./block-peaks.js";
import { withBuffer } from "./buffer-pool.js";

/** A short disturbance well above its surroundings. */
export interface Impulse {
  /** Sample of its peak. */
  readonly at: number;
  /** Peak above the typical peak of a block nearby, decibels. */
  readonly overDb: number;
}

/** Clicks are broad, hum and rumble are not: only what lies above this is looked at. */
const highPassHz = 2000;
/** The filter has forgotten its start. */
const settleS = 0.005;
/** Blocks that make up the surroundings. */
const surroundingBlocks = 200;
/** Impulses closer than this are one. */
const apartS = 0.005;
/**
 * Peak against the median peak of the blocks around from which it is an impulse. For Gaussian
 * noise in blocks of 44 samples or more that median is 2.4 standard deviations or more, so that
 * this is 6.2 of them: by chance once in 10⁹ samples.
 */
const leastRatio = 2.6;

/**
 * Finds impulses in noise or in what a tone's fit leaves.
 *
 * The samples are high-passed (fourth order, 2 kHz) and cut into blocks; a block's peak is held
 * against the median of the peaks of the 200 blocks around it. The median is a robust measure of
 * the background as the MAD is, but one that takes whatever recurs in every block, such as the
 * corners of a clipped tone when a block is its period, for background. Common practice; the
 * chance of a false alarm by the normal distribution's tail.
 *
 * @param samples at least 2000 blocks make the surroundings sure; fewer are taken together
 * @param sampleRate samples per second
 * @param blockS length of a block, 1 ms or more
 * @returns impulses in the order of time; none when there is no background to compare with
 * @example
 * const random = createMersenneTwister(1);
 * const noise = Float64Array.from({ length: 96000 }, () => random.uniform() - 0.5);
 * noise[48000] += 20;
 * findImpulses(noise, 48000, 0.001).map(({ at }) => at); // [48000]
 */
export function findImpulses(
  samples: Float64Array,
  sampleRate: number,
  blockS: number,
): readonly Impulse[] {
  const { peaks, places } = withBuffer(samples.length, (passed) => {
    passed.set(samples);
    const highPass = computeButterworthHighPass(highPassHz, sampleRate);
    createBiquadRunner(highPass)(passed, passed.length);
    createBiquadRunner(highPass)(passed, passed.length);
    const first = Math.round(settleS * sampleRate);
    return findBlockPeaks(passed, first, Math.round(blockS * sampleRate));
  });
  const count = peaks.length;
  const found: Impulse[] = [];
  const apart = apartS * sampleRate;
  const hop = surroundingBlocks / 2;
  for (let from = 0; from < count; from += hop) {
    const start = Math.max(0, Math.min(from - hop / 2, count - surroundingBlocks));
    const background = middle(peaks.subarray(start, start + surroundingBlocks));
    if (!(background > 0)) continue;
    for (let b = from; b < Math.min(count, from + hop); b++) {
      if (peaks[b] < leastRatio * background) continue;
      const impulse = { at: places[b], overDb: 20 * Math.log10(peaks[b] / background) };
      const last = found.at(-1);
      if (!last || impulse.at - last.at > apart) found.push(impulse);
      else if (impulse.overDb > last.overDb) found[found.length - 1] = impulse;
    }
  }
  return found;
}

function middle(values: Float64Array): number {
  return values.slice().sort()[values.length >> 1];
}
