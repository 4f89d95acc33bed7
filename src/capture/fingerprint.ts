import { createHash } from "node:crypto";

/** Samples used on either side of the loudest one. */
const halfSpan = 16_384;

/**
 * A checksum that recognises copies of a return in any file, format and position: made from the
 * samples around the loudest one in its middle half.
 *
 * @param samples of a return; one sample more or less at its ends does not matter
 * @example
 * const tone = Float64Array.from({ length: 1000 }, (_, n) => Math.sin(0.1 * n) * (1 - n / 2000));
 * // A copy that begins a few samples later is the same.
 * computeFingerprint(tone.slice()) === computeFingerprint(tone); // true
 * computeFingerprint(tone.map((x) => -0.9 * x)) === computeFingerprint(tone); // false
 */
export function computeFingerprint(samples: Float64Array): string {
  const first = Math.floor(samples.length / 4);
  const end = samples.length - first;
  let at = first;
  let most = 0;
  for (let n = first; n < end; n++) {
    const height = Math.abs(samples[n]);
    if (height > most) {
      most = height;
      at = n;
    }
  }
  const from = Math.max(0, at - halfSpan);
  const part = samples.subarray(from, Math.min(samples.length, at + halfSpan));
  const bytes = new Uint8Array(part.buffer, part.byteOffset, part.byteLength);
  return createHash("sha1").update(bytes).digest("hex");
}
