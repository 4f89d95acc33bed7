import type { RecordingKind } from "../desk/recording-kinds.js";
import type { Doubt } from "../doubt.js";
import type { Profile, SignalBand } from "../signal/types.js";

/** What the header of a recording says, checked against what the file holds. */
export interface RecordingInfo {
  readonly file: string;
  /** Name of the container that it comes in: its row in `containers/registry.ts`. */
  readonly container: RecordingKind;
  readonly sampleFormat: "int" | "float";
  /** Bits per sample as stored in the file. */
  readonly bits: number;
  readonly channels: number;
  readonly sampleRate: number;
  /** Set where samples are compressed: damage makes many of them unreadable at once. */
  readonly isCompressed?: true;
  /** Sample frames that are really there. */
  readonly frames: number;
  /** Byte where the sample data begins. */
  readonly dataOffset: number;
  /** What the file says of its origin, as in a `bext` chunk; control characters removed. */
  readonly bext?: {
    readonly description: string;
    readonly originator: string;
    readonly originatorReference: string;
    /** Sample frames since midnight at which it begins; absent where the field is not filled. */
    readonly timeReference?: number;
  };
  /** Marked places with their labels, when there are any. */
  readonly cues: readonly CuePoint[];
  /** Doubts about the file. */
  readonly doubts: readonly Doubt[];
  /** The file in which the recorder went on without a gap, where a return runs on into it. */
  readonly continuedBy?: RecordingInfo;
}

export interface CuePoint {
  /** Sample frame. */
  readonly position: number;
  readonly label: string;
}

/** The stretch of a capture in which a signal was played, or may have been. */
export interface SignalSpan {
  readonly file: string;
  readonly channel: number;
  /** Where the signal's first sample falls, in sample frames of the capture, fractional. */
  readonly startSample: number;
  /** Length in sample frames of the capture. */
  readonly lengthSamples: number;
  /** Capture clock against playing clock: positive when the capture holds more samples. */
  readonly driftPpm?: number;
  readonly profile?: Profile;
  /** Version of the profile. */
  readonly signalVersion?: number;
  readonly band?: SignalBand;
  /** Which output of the interface played it, in a pass, from 1. */
  readonly output?: number;
  /** How many controls were moved, in a controls pass. */
  readonly windows?: number;
  /** What is not in the capture, when it is not whole. */
  readonly missing?: MissingPart;
  /** The file that holds its end, when that is another one. */
  readonly endsIn?: string;
}

/** The beginning, the end, all of the signal; or its middle, by more than a dropout. */
export type MissingPart = "start" | "middle" | "end" | "all";

/** The stretch of a capture that holds one path's answer to one signal, whole. */
export interface SignalReturn extends SignalSpan {
  readonly driftPpm: number;
  readonly profile: Profile;
  readonly band: SignalBand;
  readonly missing?: never;
  readonly signalVersion: number;
  /** The markers came back inverted. */
  readonly inverted: boolean;
  /** Normalised correlation of the markers, 0 to 1: how much of what was heard is signal. */
  readonly likeness: number;
  /** Amplitude of the markers against those sent. */
  readonly gain: number;
  /** Samples too many (or too few, negative) between the markers: a dropout, not a clock. */
  readonly slipSamples?: number;
  /** The other of two channels that recorded this return at once, as of a stereo bus. */
  readonly partner?: Partner;
  /**
   * The same output on further channels, weaker than here: what leaked, or what a splitter feeds. Of a
   * pass whose paths have channels of their own.
   */
  readonly legs?: readonly SignalReturn[];
  /** Channels of the capture that were recorded along and not driven, from 0. */
  readonly undriven?: readonly number[];
}

/** The second channel of a return that was recorded in stereo; the first is the lower one. */
export interface Partner {
  readonly channel: number;
  /** Amplitude of the markers against those sent; undefined where they were not found. */
  readonly gain?: number;
}

/**
 * A marker without its partner: a return that is not whole. `startSample` is where it would have
 * begun, which may lie before the capture.
 */
export interface IncompleteReturn extends SignalSpan {
  readonly driftPpm: number;
  readonly profile: Profile;
  readonly band: SignalBand;
  readonly missing: Exclude<MissingPart, "all">;
  /** Where the marker lies that was found. */
  readonly atSample: number;
  /** Samples too many (or too few, negative) between its markers, where both were found. */
  readonly slipSamples?: number;
}

/** A capture in which no marker was heard; it may be that of a path that passes nothing. */
export interface UnheardCapture extends SignalSpan {
  readonly missing: "all";
}

/** Which path a return belongs to, and how that was decided. */
export interface Assignment<R extends SignalSpan = SignalReturn> {
  readonly path: string;
  readonly return: R;
  readonly by: "order" | "name" | "channel" | "output" | "map";
}
