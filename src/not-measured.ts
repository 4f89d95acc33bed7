/** Where in a return something is missing. */
export interface IncompletePart {
  readonly missing: "start" | "middle" | "end";
  /** Position in the file of the marker that was found, seconds. */
  readonly atS: number;
  /** What the recorder repeated (positive) or lost (negative) in the middle, seconds. */
  readonly slipS: number;
  /** The file in which it ends, if that is another one. */
  readonly endsIn?: string;
}

/** What a recording holds where a whole return should be, as data; `report/not-measured` words it. */
export type Heard =
  /** Markers of another version of the signal. */
  | { readonly code: "other-version" }
  /** Several outputs at once on one channel. */
  | { readonly code: "outputs-mixed" }
  | {
      readonly code: "incomplete";
      readonly part: IncompletePart;
      /** Some of its samples are NaN, infinite or far beyond full scale. */
      readonly isInvalid?: true;
    }
  | { readonly code: "digital-silence" }
  /** This share of its samples is NaN, infinite or far beyond full scale. */
  | { readonly code: "invalid-samples"; readonly share: number }
  /** This share of its samples is at full scale. */
  | { readonly code: "clipped"; readonly share: number }
  /** Nothing is louder than this peak. */
  | { readonly code: "silence" | "too-low" | "no-markers"; readonly peakDbfs: number };

/** A file that ends before its header says. */
export interface CutShort {
  readonly there: number;
  readonly promised: number;
  readonly unit: "bytes" | "frames";
}

/** Why nothing of the signal came back from a path: a fault of the path. */
export type NothingBack =
  | Heard
  | { readonly code: "named-silent" }
  /** Only a trace, this far below what was sent. */
  | { readonly code: "trace"; readonly levelDb: number }
  /** In a pass, the turn of an output. */
  | { readonly code: "silent-turn"; readonly output: number; readonly atS: number };

/** Why a path has no measurement to rank, although there is a recording of it. */
export type Unheard =
  | NothingBack
  /** The other side of a stereo bus. */
  | { readonly code: "side-silent"; readonly side: "left" | "right" }
  /** As an older round holds it, in words alone. */
  | { readonly code: "as-recorded"; readonly reason: string };

/** Where in a signal something is, seconds; a span if the position is uncertain. */
export type SignalTimes = readonly [fromS: number, untilS: number];

/** Why a path, or one of its takes, could not be measured; `report/not-measured` has the words. */
export type NotMeasured =
  /** It has no return. */
  | { readonly code: "missing" }
  | { readonly code: "nothing-back"; readonly heard: NothingBack }
  /** The other side of a stereo bus. */
  | { readonly code: "side-silent"; readonly side: "left" | "right" }
  /** Its recording holds something else. */
  | { readonly code: "no-return"; readonly heard: Heard }
  | { readonly code: "cut-short"; readonly cut: CutShort; readonly heard: Heard }
  | { readonly code: "invalid-samples" }
  | { readonly code: "incomplete"; readonly part: IncompletePart }
  /** Samples that were lost or repeated between the markers. */
  | {
      readonly code: "slip";
      /** Positive if repeated. */
      readonly samples: number;
      readonly sampleRate: number;
      readonly between?: SignalTimes;
    }
  /** The whole return runs slower (positive) or faster than clocks differ. */
  | { readonly code: "other-speed"; readonly longerPpm: number }
  | {
      readonly code: "dropout";
      readonly what: "held" | "lost" | "repeated";
      readonly samples: number;
      readonly between: SignalTimes;
      /** Further ones. */
      readonly more: number;
    }
  /** Neither tone nor sweep could be read. */
  | {
      readonly code: "unreadable";
      /** An `Absence` of `measure`; absent if there is none. */
      readonly because?: { readonly code: string };
      /** Set if the converter clipped. */
      readonly clipped?: { readonly fromS?: number };
    }
  /** Another return overlaps it. */
  | { readonly code: "overlap"; readonly other: "earlier" | "later" }
  /** Identical to another take, to the sample. */
  | { readonly code: "copy-of-take"; readonly number: number }
  | {
      readonly code: "copy-of-path";
      readonly of: readonly {
        readonly path: string;
        /** Absent if it is in the same file. */
        readonly file?: string;
        /** Absent if it is on the same channel, or in another file. */
        readonly channel?: number;
      }[];
    }
  // In a pass.
  | { readonly code: "output-mute"; readonly output: number }
  | { readonly code: "channel-dropped"; readonly channel: number }
  | { readonly code: "channel-beyond"; readonly channel: number; readonly channels: number }
  | { readonly code: "channel-empty"; readonly channel: number }
  /** The recording has fewer channels than the plan uses, and nothing shows which is missing. */
  | { readonly code: "channel-missing"; readonly channels: number; readonly planned: number }
  | { readonly code: "channel-copied"; readonly channel: number; readonly of: number }
  /** Its channel holds another output, as strong as on the other's own channel. */
  | { readonly code: "channel-of-other"; readonly channel: number; readonly output: number }
  /** What came back on separate channels in other passes was recorded on one. */
  | { readonly code: "mixed-down"; readonly pass: number }
  | { readonly code: "turn-missing"; readonly output: number; readonly pass: number }
  | { readonly code: "turn-incomplete"; readonly atS: number }
  | {
      readonly code: "other-channel";
      readonly output: number;
      readonly channel: number;
      readonly expected: number;
      readonly pass: number;
    };

/** What is wrong with the recording of a take, even if it could be measured. */
export type TakeFault = NotMeasured | { readonly code: "converter-clipped" | "side-empty" };
