import {
  type ClipLevels,
  computePlayedSpan,
  fullScaleClipLevels,
  type ReturnAudio,
} from "../return-audio.js";
import { computeEqualShare, maxEqualShare } from "./equal-share.js";

/** Shorter flat tops occur at any crest: two samples on either side of it are equally high. */
const leastFlat = 3;
/** This many flat tops make a ceiling, rather than one event. */
const leastTops = 5;
/**
 * A crest passes the steps just below its top as slowly as the top; this many of 16 bits are
 * checked.
 */
const justBelow = 4 / 2 ** 15;
/** At a ceiling there are this many times as many samples as just below it. */
const overBelow = 10;
/** A lower ceiling, full scale 1, is a coarse quantiser's crest. */
const leastCeiling = 0.05;

/**
 * Where a return's converter clips: at full scale, or lower where it says so itself. A converter may
 * clip a little below full scale, and a recorder's trim moves full scale down: then the highest value
 * of the return is reached again and again by several equal samples in a row. An analogue stage that
 * clips never does that, since the noise of everything after it, the converter's own at least, parts
 * them.
 *
 * A return without noise is not judged: there a path of ideal parts, as is made for trials, looks the
 * same as a converter. From how converters work; no published source.
 *
 * @returns the values from which samples are the converter's, full scale 1
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

/** The highest and the lowest value, and how often each came. */
interface Extremes {
  high: number;
  low: number;
  atHigh: number;
  atLow: number;
}

/**
 * A return goes in pieces, so short that a whole one is over before the loop is compiled: what was
 * compiled within a loop knows nothing of the way out of it, and is thrown away there every time.
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

/** Whether an extreme value is kept for several samples, time and again, and hardly approached. */
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
