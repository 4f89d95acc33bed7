import {
  type ClipLevels,
  computePlayedSpan,
  fullScaleClipLevels,
  type ReturnAudio,
} from "../return-audio.js";
import { computeEqualShare, maxEqualShare } from "./equal-share.js";

/** Shorter flat tops occur at any crest: two samples on either side of it are equally high. */
const leastFlat = 3;
/** Number of flat tops that make a ceiling rather than a single event. */
const leastTops = 5;
/**
 * A natural crest is almost as slow just below its top; this range, in steps of 16 bits, is
 * checked.
 */
const justBelow = 4 / 2 ** 15;
/** Ratio of the number of samples at a ceiling to that just below it. */
const overBelow = 10;
/** A lower ceiling, full scale 1, is a coarse quantiser's crest. */
const leastCeiling = 0.05;

/**
 * Finds where a return's converter clips: at full scale, or lower if the return shows it. A
 * converter may clip slightly below full scale, and a recorder's trim lowers full scale: then the
 * highest value is reached repeatedly by several equal samples in a row. A clipping analogue stage
 * never does that, since noise added after it, at least the converter's, makes its tops uneven. A
 * return without noise is not judged: a simulated path of ideal parts looks like a converter.
 * Derived from how converters work; no published source.
 *
 * @returns the values at and beyond which samples are clipped by the converter, full scale 1
 * @example
 * // Nothing was clipped: samples are the converter's at full scale alone.
 * findClipLevels(audio).high > 0.999; // true
 */
export function findClipLevels(audio: ReturnAudio): ClipLevels {
  const { first, end } = computePlayedSpan(audio);
  const part = audio.samples.subarray(first, end);
  const extremes: Extremes = { high: 0, low: 0, atHigh: 0, atLow: 0 };
  for (let at = 0; at < part.length; at += piece) {
    widen(extremes, part, at, Math.min(part.length, at + piece));
  }
  const { high, low, atHigh, atLow } = extremes;
  const least = leastFlat * leastTops;
  const isHigh = atHigh >= least && isFlatTopped(part, high);
  const isLow = atLow >= least && isFlatTopped(part, low);
  if (!(isHigh || isLow) || computeEqualShare(audio) >= maxEqualShare) return fullScaleClipLevels;
  return {
    high: isHigh ? Math.min(high, fullScaleClipLevels.high) : fullScaleClipLevels.high,
    low: isLow ? Math.max(low, fullScaleClipLevels.low) : fullScaleClipLevels.low,
  };
}

/** The highest and the lowest value, with their counts. */
interface Extremes {
  high: number;
  low: number;
  atHigh: number;
  atLow: number;
}

/**
 * Samples per block. Short, so that the function returns before its loop is compiled: code compiled
 * inside a running loop is discarded at its end every time.
 */
const piece = 512;

function widen(extremes: Extremes, samples: Float64Array, from: number, to: number): void {
  let { high, low, atHigh, atLow } = extremes;
  for (let n = from; n < to; n++) {
    const x = samples[n];
    if (x >= high) {
      atHigh = x === high ? atHigh + 1 : 1;
      high = x;
    } else if (x <= low) {
      atLow = x === low ? atLow + 1 : 1;
      low = x;
    }
  }
  extremes.high = high;
  extremes.low = low;
  extremes.atHigh = atHigh;
  extremes.atLow = atLow;
}

/**
 * Whether an extreme value is held for several samples repeatedly, with few samples just below it.
 */
function isFlatTopped(samples: Float64Array, top: number): boolean {
  const level = Math.abs(top);
  if (level < leastCeiling) return false;
  const sign = Math.sign(top);
  let tops = 0;
  let flat = 0;
  let below = 0;
  let run = 0;
  for (let n = 0; n < samples.length; n++) {
    const x = sign * samples[n];
    if (x === level) {
      run++;
      if (run === leastFlat) tops++;
      if (run >= leastFlat) flat += run === leastFlat ? leastFlat : 1;
      continue;
    }
    run = 0;
    if (x > level - justBelow) below++;
  }
  return tops >= leastTops && flat >= overBelow * below;
}
