import type { ControlAction } from "../../signal/types.js";

/** A change of level that is too fast for a hand. */
export interface AbruptChange {
  readonly kind: "dropout" | "jump";
  /** Block of the track at which it begins. */
  readonly at: number;
  /** Blocks until the level is back; 0 for a jump. */
  readonly length: number;
  /** Decibels, negative downwards. */
  readonly levelDb: number;
}

/** Seconds per block of the amplitude track: two periods of 1 kHz. */
export const blockS = 0.002;

/**
 * A hand that takes half a second from end to end moves a fader's 60 dB by 0.7 dB in 6 ms, or 8 %;
 * a contact that opens needs a millisecond. A quarter in 6 ms is between the two.
 */
const fastPieces = 3;
const fastPart = 0.25;
/**
 * At low levels any movement is fast in decibels: it counts only above this share of the level at
 * the mark.
 */
const leastPart = 0.15;
/**
 * Seconds; if the level is back within this, it was a dropout. Nobody presses a switch twice that
 * fast.
 */
const mostDropoutS = 0.15;
/** Share of the earlier level that counts as back. */
const backPart = 0.75;
/**
 * Seconds; a switch breaks before it makes, and its contacts bounce for some milliseconds, which is
 * normal. Longer is dirt.
 */
const leastOfSwitchS = 0.02;
const deepestDb = -60;

/**
 * Dropouts and jumps in the level of a tone.
 *
 * @param amplitudes of blocks of `blockS`
 *
 * @param mark the amplitude with the control at its mark
 * @example
 * // A tone of half full scale that is gone for 40 ms, in pieces of 2 ms.
 * const track = new Float64Array(200).fill(0.5).fill(0, 100, 120);
 * findLevelBreaks(track, 0.5, "turn").map(({ kind }) => kind); // ["dropout"]
 * findLevelBreaks(new Float64Array(200).fill(0.5), 0.5, "turn"); // []
 */
export function findLevelBreaks(
  amplitudes: Float64Array,
  mark: number,
  hand: ControlAction,
): readonly AbruptChange[] {
  const breaks: AbruptChange[] = [];
  const most = Math.round(mostDropoutS / blockS);
  for (let k = fastPieces; k < amplitudes.length; k++) {
    const before = amplitudes[k - fastPieces];
    const now = amplitudes[k];
    if (Math.max(before, now) < leastPart * mark) continue;
    const down = now < (1 - fastPart) * before;
    const up = before < (1 - fastPart) * now;
    if (!down && !up) continue;
    const start = k - fastPieces;
    if (down) {
      const back = comesBack(amplitudes, start, before, most);
      if (back !== undefined) {
        const length = back - start;
        if (hand !== "press" || length * blockS >= leastOfSwitchS) {
          const lowest = Math.min(...amplitudes.subarray(start, back));
          breaks.push({ kind: "dropout", at: start, length, levelDb: decibels(lowest / before) });
        }
        k = back + fastPieces;
        continue;
      }
    }
    const settled = settles(amplitudes, k);
    if (hand !== "press") {
      const levelDb = decibels(amplitudes[settled] / Math.max(before, leastPart * mark * 0.1));
      breaks.push({ kind: "jump", at: start, length: 0, levelDb });
    }
    k = settled + fastPieces;
  }
  return breaks;
}

/** The block at which the level is back, by an equally fast step; undefined if it is not. */
function comesBack(
  amplitudes: Float64Array,
  start: number,
  before: number,
  most: number,
): number | undefined {
  const last = Math.min(amplitudes.length - 1, start + most);
  for (let k = start + 2; k <= last; k++) {
    if (amplitudes[k] < backPart * before) continue;
    const was = amplitudes[Math.max(start + 1, k - fastPieces)];
    if (was < (1 - fastPart) * amplitudes[k]) return k;
  }
  return undefined;
}

/** The block from which the level changes no faster than by hand. */
function settles(amplitudes: Float64Array, from: number): number {
  let k = from;
  while (k + 1 < amplitudes.length && k < from + 10) {
    const step = Math.abs(amplitudes[k + 1] - amplitudes[k]);
    if (step < 0.05 * Math.max(amplitudes[k + 1], amplitudes[k])) break;
    k++;
  }
  return k;
}

function decibels(ratio: number): number {
  return Math.max(deepestDb, Math.min(-deepestDb, 20 * Math.log10(Math.max(1e-9, ratio))));
}
