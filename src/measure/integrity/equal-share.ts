import { findSegment, type ReturnAudio, sliceSegment } from "../return-audio.js";
import { silenceSettleS } from "../silence-analysis.js";

/** Share; if neighbours are equal less often, noise moves the samples. */
export const maxEqualShare = 0.7;
/** Longer runs of equal samples are held, or say nothing about the noise. */
const longRun = 32;

/**
 * Share of neighbouring samples of the silence that are equal, 0 to 1. The lower it is, the more
 * certain that a run of equal samples was held by the recorder, since a converter's noise never
 * stops.
 *
 * @returns 1 without noise to judge by: no silence, or a constant one
 * @example
 * // Noise of the last bit stands still now and then.
 * const share = computeEqualShare(audio);
 * share > 0 && share <= 1; // true
 */
export function computeEqualShare(audio: ReturnAudio): number {
  const silence = findSegment(audio.table, "silence", "silence");
  const part = silence && sliceSegment(audio, silence.startS, silenceSettleS, silence.lengthS);
  if (!part) return 1;
  const { samples } = part;
  let equal = 0;
  let counted = 0;
  let begin = 0;
  for (let n = 1; n <= samples.length; n++) {
    if (n < samples.length && samples[n] === samples[begin]) continue;
    if (n - begin < longRun) {
      equal += n - begin - 1;
      counted += n - begin;
    }
    begin = n;
  }
  // A mostly constant silence says nothing.
  return counted > samples.length / 2 ? (equal + 1) / counted : 1;
}
