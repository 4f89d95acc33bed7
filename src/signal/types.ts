/**
 * The segment table: what the test signal consists of, as plain data in seconds and hertz,
 * independent of any sample rate. Synthesis, finding and measuring all read it from here.
 */

export type Profile = "quick" | "standard" | "full" | "controls";

/**
 * `base` reaches 21 kHz and fits every sample rate, `wide` reaches 42 kHz and needs 88.2 kHz or
 * more. The band is part of the signal's identity, as the sweep differs.
 */
export type SignalBand = "base" | "wide";

interface SegmentSpan {
  /** Name of the segment, unique in its table: `sweep`, `tone-1k`, … */
  readonly name: string;
  /** Seconds from the first sample of the signal. */
  readonly startS: number;
  /** Seconds. */
  readonly lengthS: number;
}

/** Two equal linear chirps (`start`) or a chirp and its negative (`end`), `spacingS` apart. */
export interface MarkerSegment extends SegmentSpan {
  readonly kind: "marker";
  readonly which: "start" | "end";
  readonly spacingS: number;
  readonly levelDbfs: number;
}

/** What the hand does to a control in the controls pass. */
export type ControlAction = "turn" | "slide" | "press";

/** A control to be moved, by the name that the desk file gives it. */
export interface Move {
  readonly control: string;
  readonly hand: ControlAction;
}

export interface SilenceSegment extends SegmentSpan {
  readonly kind: "silence";
  /** Set where a control is to be moved meanwhile. */
  readonly move?: Move;
}

/** Short tones that count in, or end, the moving of a control. */
export interface PipsSegment extends SegmentSpan {
  readonly kind: "pips";
  readonly frequencyHz: number;
  readonly count: number;
  /** From the start of one to that of the next. */
  readonly spacingS: number;
  /** Length of each. */
  readonly pipS: number;
  readonly levelDbfs: number;
}

/**
 * Synchronised exponential sweep, x(t) = a·sin(2π·f1·L·exp(t/L)) with f1·L an integer
 * (Novak, Lotton, Simon: "Synchronized Swept-Sine", J. Audio Eng. Soc. 63(10), 2015).
 */
export interface SweepSegment extends SegmentSpan {
  readonly kind: "sweep";
  readonly fromHz: number;
  readonly toHz: number;
  /** L of the paper, seconds per factor e of frequency. */
  readonly rateS: number;
  readonly levelDbfs: number;
  /** The sweep itself, seconds; the rest of `lengthS` is silence for its tail. */
  readonly sweepS: number;
}

export interface ToneSegment extends SegmentSpan {
  readonly kind: "tone";
  readonly frequencyHz: number;
  readonly levelDbfs: number;
  /** Set where a control is to be moved meanwhile. */
  readonly move?: Move;
}

/** Two tones of equal level, together as high in peak as one tone of `levelDbfs`. */
export interface TwinSegment extends SegmentSpan {
  readonly kind: "twin";
  readonly lowHz: number;
  readonly highHz: number;
  readonly levelDbfs: number;
}

/** One frequency at a ladder of levels, `stepS` each. */
export interface StepsSegment extends SegmentSpan {
  readonly kind: "steps";
  readonly frequencyHz: number;
  readonly stepS: number;
  readonly levelsDbfs: readonly number[];
}

export type Segment =
  | MarkerSegment
  | SilenceSegment
  | PipsSegment
  | SweepSegment
  | ToneSegment
  | TwinSegment
  | StepsSegment;

export interface SignalTable {
  /** Version of the signal's definition; a capture can only be read by the same one. */
  readonly version: number;
  readonly profile: Profile;
  readonly band: SignalBand;
  /** Whole length, seconds. */
  readonly lengthS: number;
  /** Level of sweep, tones and markers; dBFS with a full-scale sine at 0 (AES17). */
  readonly nominalDbfs: number;
  /** Which output of a pass plays it, from 1; absent if it is the only one. */
  readonly output?: number;
  readonly segments: readonly Segment[];
}
