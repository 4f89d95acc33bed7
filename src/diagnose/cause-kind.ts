import type { PathEvidence } from "./path-evidence.js";
import type { Cause } from "./types.js";

/** Lowest and highest deviation that a cause can give a reading, in the reading's unit. */
export type DeviationRange = readonly [low: number, high: number];

/** What a cause's physics makes of a path, its own parameters fitted to what is seen. */
export interface Prediction {
  /** Readings it moves; all others are expected where the siblings have them. */
  readonly moves: Readonly<Record<string, DeviationRange>>;
  /** Response difference it gives, decibels at a frequency; none when absent. */
  readonly response?: (hz: number) => number;
  /**
   * How far the response may be off at any frequency, decibels, where the level jumps while the
   * sweep passes; none when absent.
   */
  readonly wander?: number;
  /** How many figures of the response's shape were fitted to it: each costs likelihood. */
  readonly fitted?: number;
  /** What was fitted and seen, a line each. */
  readonly evidence: readonly string[];
  /** Parts to have ready, when more can be said than the cause's own line. */
  readonly ready?: string;
}

/** What is said of a cause, whatever it was told by. */
export interface CauseWords {
  readonly id: string;
  readonly name: string;
  readonly kind: Cause["kind"];
  readonly confirmBy: string;
  /** What looks much the same, by id, and the quick check that separates the two. */
  readonly confusedWith: readonly { readonly cause: string; readonly check: string }[];
  readonly ready?: string;
  readonly care?: string;
}

/** One cause that a path's readings tell: its words and its physics. */
export interface CauseKind extends CauseWords {
  /**
   * How often it is the reason when a path is odd, against the other causes. Common practice of
   * the trade, no published source; the evidence soon outweighs it.
   */
  readonly prior: number;
  /** Undefined where the cause cannot give what is seen at all. */
  predict(path: PathEvidence): Prediction | undefined;
}

/** No bound: what the cause does to a reading cannot be told beforehand. */
export const anyDeviation: DeviationRange = [-200, 200];

/**
 * What another level does to the other readings when nothing is broken: distortion of order n
 * goes with n−1 times the level, noise from before the control goes along, noise from behind it
 * stays.
 *
 * @param levelDb change of level, decibels
 */
export function predictLevelRanges(levelDb: number): Record<string, DeviationRange> {
  const less = Math.min(0, levelDb);
  const more = Math.max(0, levelDb);
  const noise: DeviationRange = [less - 1, more + 1];
  const distortion: DeviationRange = [2 * less - 3, 2.5 * more + 3];
  return {
    hiss: noise,
    noise,
    noiseA: noise,
    noise468: noise,
    hum: noise,
    humOdd: noise,
    humEven: noise,
    thd: distortion,
    thd100: distortion,
    // near full level a few decibels more may reach the rails
    thdHot: [2 * less - 3, more > 0 ? 40 : 3],
    imd: distortion,
    compression: [-more, 0.3],
    headroom: [-more - 1, 1 - less],
  };
}

/** The noise readings, which all see hiss. */
export function predictHissRanges(range: DeviationRange): Record<string, DeviationRange> {
  return { hiss: range, noiseA: range, noise: range, noise468: range };
}

/** The readings of mains hum: odd lines, even lines, and where those are not told apart. */
export function predictHumRanges(
  odd: DeviationRange,
  even: DeviationRange,
): Record<string, DeviationRange> {
  const either: DeviationRange = [Math.min(odd[0], even[0]), Math.max(odd[1], even[1])];
  return { humOdd: odd, humEven: even, hum: either };
}

/**
 * What strong hum does to other readings: lines fall on harmonics of 100 Hz, reach into the hiss by
 * their upper multiples and shake what is measured at low level.
 */
export function predictHumMixing(): Record<string, DeviationRange> {
  return {
    ...predictHissRanges([-3, 20]),
    noise: [-3, 90],
    thd: [-8, 12],
    thd100: [-6, 70],
    thdHot: [-12, 6],
    imd: [-8, 15],
    linearity: [-1.5, 1.5],
    instability: [-1, 10],
    clicks: [-1, 200],
    noiseSlope: [-6, 6],
  };
}

/** Decibels for evidence lines: sign and one decimal. */
export function formatDb(value: number): string {
  return `${value < 0 ? "−" : "+"}${Math.abs(value).toFixed(1)} dB`;
}

/** Hertz for evidence lines: two digits. */
export function formatHz(value: number): string {
  return value < 995
    ? `${Number(value.toPrecision(2))} Hz`
    : `${Number((value / 1000).toPrecision(2))} kHz`;
}
