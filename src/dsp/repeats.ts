import { findSmallestStep } from "./smallest-step.js";

/** A block of samples that recurs, bit for bit, a little later. */
export interface Repeat {
  /** First sample of the second block. */
  readonly at: number;
  /** From the first block to the second, samples. */
  readonly lag: number;
  readonly length: number;
}

/** Shortest block looked for. */
const leastLength = 32;
/** Shortest distance looked for: a tone repeats itself at a shorter one. */
const leastLag = 64;
/**
 * How unlikely a repeat by chance must be, bits. All pairs that are compared in an hour of recording
 * are fewer than 2^43; the rest is a margin, as samples are not quite independent.
 */
const leastBits = 100;
/** Minimum number of value changes: flat runs match too easily. */
const leastChanges = 24;
/** A change is at least this many quantiser steps: a coarse quantiser toggles by one. */
const changeSteps = 1.5;
/** Samples on either side that show how alike the two places are without a repeat. */
const beside = 64;
/** Next to the block, where a waveform that only drifts away from its last period is still near. */
const nearest = 16;
/** Below half a step of 24 bits at full scale 1 a difference is rounding. */
const leastApart = 2 ** -24;

/** A sample is stored if the hash of it and the two before begins with this many zero bits. */
const anchorBits = 3;
const slotBits = 14;
const slotShift = 32 - anchorBits - slotBits;
/** Odd, with well-mixed bits: from the golden ratio, as usual for multiplicative hashes. */
const spread = 0x9e3779b1;

/**
 * Blocks that occur twice. Noise never repeats exactly, so in noise an exact copy was made by a
 * machine.
 *
 * One pass: of about every eighth sample, chosen by its own value and the two before so that
 * the same ones are chosen in a copy, the latest position is kept in a table. If one recurs, the match
 * is extended both ways. A signal that repeats itself does not count: a tone without noise also
 * matches before and after the block, a slowly changing waveform drifts away from its last period
 * sample by sample, and a coarse quantiser with few values repeats itself by chance.
 *
 * @param samples a stretch of a recording with noise: without it what is played twice comes twice
 * @param mostLag farthest distance between the two, samples
 * @returns the later blocks, in the order of time
 * @example
 * const random = createMersenneTwister(1);
 * const noise = Float64Array.from({ length: 9600 }, () => random.uniform() - 0.5);
 * noise.copyWithin(5000, 4000, 5000);
 * findRepeats(noise, 2000).map(({ lag }) => lag); // [1000]
 */
export function findRepeats(samples: Float64Array, mostLag: number): readonly Repeat[] {
  const { length } = samples;
  const words = new Uint32Array(samples.buffer, samples.byteOffset, 2 * length);
  const latest = new Int32Array(1 << slotBits).fill(-1 - mostLag);
  const found: Repeat[] = [];
  let before = 0;
  let last = 0;
  let until = 0;
  for (let n = 0; n < length; n++) {
    const hash = Math.imul(words[2 * n] ^ words[2 * n + 1], spread);
    const key = (hash + 3 * last + 5 * before) | 0;
    before = last;
    last = hash;
    if (key >>> (32 - anchorBits) !== 0) continue;
    const slot = key >>> slotShift;
    const lag = n - latest[slot];
    latest[slot] = n;
    if (lag > mostLag || lag < leastLag || n < until || samples[n] !== samples[n - lag]) continue;
    let begin = n;
    while (begin > Math.max(until, lag) && samples[begin - 1] === samples[begin - 1 - lag]) begin--;
    let end = n + 1;
    while (end < length && samples[end] === samples[end - lag]) end++;
    if (end - begin < leastLength) continue;
    until = end;
    if (isCopy(samples, begin, end, lag)) found.push({ at: begin, lag, length: end - begin });
  }
  return found;
}

function isCopy(samples: Float64Array, begin: number, end: number, lag: number): boolean {
  if (begin - beside - lag < 0 || end + beside > samples.length) return false;
  const least = changeSteps * findSmallestStep(samples, begin - beside, end + beside);
  let changes = 0;
  for (let n = begin + 1; n < end; n++) {
    if (Math.abs(samples[n] - samples[n - 1]) > least) changes++;
  }
  if (changes < leastChanges) return false;
  const share = Math.max(alike(samples, begin - 1, -1, lag), alike(samples, end, 1, lag));
  return -changes * Math.log2(share) >= leastBits;
}

/**
 * How often the samples beside a block are those of a lag earlier, 0 to 1: next to it or farther
 * off, wherever it is more often. 1 where hardly anything parts them.
 */
function alike(samples: Float64Array, from: number, direction: 1 | -1, lag: number): number {
  let same = 0;
  let near = 0;
  let apart = 0;
  for (let k = 0; k < beside; k++) {
    const n = from + direction * k;
    const difference = Math.abs(samples[n] - samples[n - lag]);
    apart += difference;
    if (difference === 0) same++;
    if (k === nearest - 1) near = same;
  }
  if (apart < beside * leastApart) return 1;
  return Math.max((near + 1) / (nearest + 1), (same + 1) / (beside + 1));
}
