import type { RecordingKind } from "../desk/recording-kinds.js";
import type { Doubt } from "../doubt.js";
import type { Profile, SignalBand } from "../signal/types.js";

/** What the header of a recording says, checked against what the file holds. */
export interface RecordingInfo {
  readonly file: string;
  /** Name of its container: its row in `containers/registry.ts`. */
  readonly container: RecordingKind;
  readonly sampleFormat: "int" | "float";
  /** Bits per sample as stored in the file. */
  readonly bits: number;
  readonly channels: number;
  readonly sampleRate: number;
  /** Set where samples are compressed: damage makes many of them unreadable at once. */
  readonly isCompressed?: true;
  /** Sample frames actually present. */
  readonly frames: number;
  /** Byte where the sample data begins. */
  readonly dataOffset: number;
  /** Origin of the file, as in a `bext` chunk; control characters removed. */
  readonly bext?: {
    readonly description: string;
    readonly originator: string;
    readonly originatorReference: string;
    /** Start in sample frames since midnight; absent if the field is not filled. */
    readonly timeReference?: number;
  };
  /** Marked places with their labels, when there are any. */
  readonly cues: readonly CuePoint[];
  /** Doubts about the file. */
  readonly doubts: readonly Doubt[];
  /** The file in which the recorder continued without a gap, if a return extends into it. */
  readonly continuedBy?: RecordingInfo;
}

export interface CuePoint {
  /** Sample frame. */
  readonly position: number;
  readonly label: string;
}

/** The part of a capture in which a signal was played, or may have been. */
export interface SignalSpan {
  readonly file: string;
  readonly channel: number;
  /** Position of the signal's first sample, in sample frames of the capture, fractional. */
  readonly startSample: number;
  /** Length in sample frames of the capture. */
  readonly lengthSamples: number;
  /** Capture clock relative to playing clock: positive if the capture has more samples. */
  readonly driftPpm?: number;
  readonly profile?: Profile;
  /** Version of the profile. */
  readonly signalVersion?: number;
  readonly band?: SignalBand;
  /** Output of the interface that played it, in a pass, from 1. */
  readonly output?: number;
  /** Number of controls moved, in a controls pass. */
  readonly windows?: number;
  /** What is missing in the capture, if it is incomplete. */
  readonly missing?: MissingPart;
  /** The file with its end, if that is another one. */
  readonly endsIn?: string;
}

/** The beginning, the end or all of the signal; or more than a dropout in the middle. */
export type MissingPart = "start" | "middle" | "end" | "all";

/** The part of a capture with one path's complete response to one signal. */
export interface SignalReturn extends SignalSpan {
  readonly driftPpm: number;
  readonly profile: Profile;
  readonly band: SignalBand;
  readonly missing?: never;
  readonly signalVersion: number;
  /** The markers came back inverted. */
  readonly inverted: boolean;
  /** Normalised correlation of the markers, 0 to 1. */
  readonly likeness: number;
  /** Amplitude of the markers relative to those sent. */
  readonly gain: number;
  /** Samples too many (or too few, negative) between the markers: a dropout, not a clock. */
  readonly slipSamples?: number;
  /** The other channel that recorded this return, e.g. of a stereo bus. */
  readonly partner?: Partner;
  /**
   * The same output on further channels, weaker than here: leakage, or legs of a splitter. Only in
   * a pass whose paths have separate channels.
   */
  readonly legs?: readonly SignalReturn[];
  /** Channels of the capture that were not driven, from 0. */
  readonly undriven?: readonly number[];
}

/** The second channel of a return that was recorded in stereo; the first is the lower one. */
export interface Partner {
  readonly channel: number;
  /** Amplitude of the markers relative to those sent; undefined if they were not found. */
  readonly gain?: number;
}

/**
 * An incomplete return: a marker without its partner. `startSample` is where it would have begun,
 * which may be before the capture.
 */
export interface IncompleteReturn extends SignalSpan {
  readonly driftPpm: number;
  readonly profile: Profile;
  readonly band: SignalBand;
  readonly missing: Exclude<MissingPart, "all">;
  /** Position of the marker found. */
  readonly atSample: number;
  /** Samples too many (or too few, negative) between its markers, if both were found. */
  readonly slipSamples?: number;
}

/** A capture without a marker; perhaps of a path that passes nothing. */
export interface UnheardCapture extends SignalSpan {
  readonly missing: "all";
}

/** Which path a return belongs to, and how that was decided. */
export interface Assignment<R extends SignalSpan = SignalReturn> {
  readonly path: string;
  readonly return: R;
  readonly by: "order" | "name" | "channel" | "output" | "map";
}
