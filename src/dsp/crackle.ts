import { computeButterworthHighPass, createBiquadRunner } from "./biquad.js";
import { findBlockPeaks } from "./block-peaks.js";
import { withBuffer } from "./buffer-pool.js";

/** A block that is louder than those right before and after it. */
export interface Crackle {
  /** Sample of its peak. */
  readonly at: number;
  /** Magnitude of the peak, high-passed; unit of the samples. */
  readonly peak: number;
}

/** Crackle is looked for above a 1 kHz tone and its first harmonics. */
const highPassHz = 4000;
/** Second-order sections: 96 dB below at 1 kHz (Butterworth, two octaves at 6 dB per order). */
const sections = 4;
const blockS = 0.002;
/** Neighbours on each side, blocks: 24 ms. */
const near = 12;
/**
 * Against the typical block peak of the louder side. In Gaussian noise a block's peak has its
 * median at 2.4 standard deviations or more, so that this is ten of them.
 */
const leastRatio = 4;

/**
 * Finds crackle that stands out from the few hundredths of a second on either side, so that noise
 * turned up or down by hand, slowly or in a step, does not count: each side has its own typical peak,
 * and the louder side counts. Dense crackle hides its own neighbours; see `busyness`.
 *
 * @param samples tone with noise, or noise alone
 * @param sampleRate samples per second
 * @param leastPeak crackle below this is ignored, unit of the samples
 * @returns one for each block that stands out, in the order of time
 * @example
 * const random = createMersenneTwister(1);
 * const noise = Float64Array.from({ length: 48000 }, () => random.uniform() - 0.5);
 * noise[24000] += 20;
 * findCrackle(noise, 48000, 1).length; // 1
 */
export function findCrackle(
  samples: Float64Array,
  sampleRate: number,
  leastPeak: number,
): readonly Crackle[] {
  const { peaks, places } = peaksOf(samples, sampleRate);
  const found: Crackle[] = [];
  const side = new Float64Array(near);
  for (let b = 0; b < peaks.length; b++) {
    if (peaks[b] < leastPeak) continue;
    const before = quietPeak(peaks, b - near, b, side);
    const after = quietPeak(peaks, b + 1, b + 1 + near, side);
    const around = Math.max(before, after);
    if (around > 0 && peaks[b] > leastRatio * around) found.push({ at: places[b], peak: peaks[b] });
  }
  return found;
}

/**
 * The block peak that a share of all blocks exceeds: how loud dense crackling is.
 *
 * @param share 0 to 1
 * @example
 * const random = createMersenneTwister(1);
 * const noise = Float64Array.from({ length: 48000 }, () => random.uniform() - 0.5);
 * computePeakQuantile(noise, 48000, 0.1) >= computePeakQuantile(noise, 48000, 0.9); // true
 */
export function computePeakQuantile(
  samples: Float64Array,
  sampleRate: number,
  share: number,
): number {
  const { peaks } = peaksOf(samples, sampleRate);
  const sorted = peaks.slice().sort();
  return sorted[Math.max(0, Math.floor((1 - share) * (sorted.length - 1)))] ?? 0;
}

/** The two-fifths quantile of the peaks on one side, so that a few crackles there do not count. */
function quietPeak(peaks: Float64Array, from: number, to: number, room: Float64Array): number {
  const first = Math.max(0, from);
  const last = Math.min(peaks.length, to);
  // At an edge only the other side is known.
  if (last - first < near / 2) return 0;
  const part = room.subarray(0, last - first);
  part.set(peaks.subarray(first, last));
  part.sort();
  return part[Math.floor(0.4 * (part.length - 1))];
}

function peaksOf(samples: Float64Array, sampleRate: number) {
  return withBuffer(samples.length, (passed) => {
    passed.set(samples);
    const section = computeButterworthHighPass(highPassHz, sampleRate);
    for (let k = 0; k < sections; k++) createBiquadRunner(section)(passed, passed.length);
    // The start-up transient of the filter has died away after a few milliseconds.
    const skip = Math.round(0.01 * sampleRate);
    return findBlockPeaks(passed, skip, Math.round(blockS * sampleRate));
  });
}
