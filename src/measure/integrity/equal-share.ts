import { findSegment, type ReturnAudio, sliceSegment } from "../return-audio.js";
import { silenceSettleS } from "../silence-analysis.js";

/** Neighbours that are equal less often than this are moved by noise. */
export const maxEqualShare = 0.7;
/** Equal samples in such a row are held, or say nothing about the noise. */
const longRun = 32;

/**
 * How often two neighbouring samples of the silence are equal, 0 to 1; the less often, the more
 * surely the recorder held the value, since a converter's noise never stops.
 *
 * @returns 1 where there is no noise to go by: no silence, or a constant one
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
  // Of a silence that mostly stands still nothing is known.
  return counted > samples.length / 2 ? (equal + 1) / counted : 1;
}
