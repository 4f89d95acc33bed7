import type { Heard, IncompletePart, NotMeasured, TakeFault } from "./not-measured.js";

export type { IncompletePart };

/** A pause in which a whole signal may have been played and not heard. */
export interface SilentGap {
  readonly fromS: number;
  readonly untilS: number;
  /** How many whole signals there is room for. */
  readonly signals: number;
  /** Path of the return after it. */
  readonly before?: string;
}

/** How a return came to its path. */
export type AssignedBy = "map" | "name" | "channel" | "output" | "order";

/**
 * What may make a verdict untrue, as data: a code and its facts. `report/doubts` has the words, once.
 * Files are as given; channels count from 0; times are seconds.
 */
export type Doubt =
  // How a recording was written.
  | { readonly code: "length-not-given"; readonly file: string; readonly bytes: number }
  | {
      readonly code: "samples-cut-short";
      readonly file: string;
      readonly promisedBytes: number;
      readonly bytes: number;
    }
  | {
      readonly code: "frames-not-given";
      readonly file: string;
      readonly frames: number;
      readonly upTo: "end" | "last-whole";
    }
  | {
      readonly code: "frames-cut-short";
      readonly file: string;
      readonly promisedFrames: number;
      readonly frames: number;
    }
  | {
      readonly code: "more-frames";
      readonly file: string;
      readonly promisedFrames: number;
      readonly frames: number;
      /** Which of them were read. */
      readonly read: "all" | "promised";
    }
  | { readonly code: "chunk-cut-short"; readonly file: string; readonly chunk: string }
  | { readonly code: "several-recordings"; readonly file: string }
  | { readonly code: "first-samples-empty"; readonly file: string; readonly atByte: number }
  | { readonly code: "last-frame-incomplete"; readonly file: string }
  | {
      readonly code: "unknown-bytes";
      readonly file: string;
      readonly bytes: number;
      /** Absent where the samples are compressed. */
      readonly sampleBytes?: number;
    }
  | {
      readonly code: "invalid-samples";
      readonly file: string;
      readonly count: number;
      /** Set where only one of several channels is concerned. */
      readonly channel?: number;
      readonly fromS: number;
      readonly untilS: number;
      readonly places: number;
    }
  | {
      readonly code: "damaged-frames";
      readonly file: string;
      readonly frames: number;
      readonly fromS: number;
      readonly untilS: number;
      readonly places: number;
    }
  | { readonly code: "samples-altered"; readonly file: string }
  // Where returns are.
  | { readonly code: "more-than-two-channels"; readonly file: string }
  | {
      readonly code: "taken-for-crosstalk";
      readonly file: string;
      readonly channels: readonly number[];
      readonly atS: number;
    }
  | {
      /** Outputs of a pass that play at once lie over each other: they were recorded as one. */
      readonly code: "outputs-mixed";
      readonly file: string;
      readonly channels: readonly number[];
      /** Channels of the file. */
      readonly of: number;
    }
  | { readonly code: "other-version"; readonly file: string }
  | { readonly code: "is-the-signal"; readonly file: string }
  | {
      readonly code: "no-return";
      readonly file: string;
      /** What was heard; absent in rounds of before, which have the words alone. */
      readonly instead?: Heard;
      /** The same in words, as a round keeps it. */
      readonly heard?: string;
      /** Whose turn it was, by the order of the files. */
      readonly path?: string;
    }
  // Whose they are.
  | { readonly code: "more-passes"; readonly passes: number; readonly planned: number }
  | {
      /** Passes that by their channels are not the next of the run sheet, but others. */
      readonly code: "passes-out-of-order";
      readonly passes: readonly { readonly file: string; readonly pass: number }[];
    }
  | {
      /** Nothing shows which of the run sheet are missing. */
      readonly code: "fewer-passes";
      readonly passes: number;
      readonly planned: number;
      /** Which they were taken for; absent in rounds of before. */
      readonly taken?: readonly number[];
    }
  | {
      /** Of some paths alone or of the whole desk: nothing shows which sheet was played. */
      readonly code: "passes-of-which-sheet";
      readonly passes: number;
      readonly planned: number;
    }
  | {
      /** A channel is identical with another one. */
      readonly code: "channel-copied";
      readonly file: string;
      readonly channel: number;
      readonly of: number;
    }
  | {
      /** Outputs that had turns and were never heard. */
      readonly code: "outputs-not-heard";
      readonly outputs: readonly number[];
    }
  | {
      /** Paths that stand out, each fed by an output that fed no other of its family. */
      readonly code: "strip-or-output";
      readonly paths: readonly string[];
    }
  | {
      /** An output or a bus of passes, or each of the strips that show the same. */
      readonly code: "strips-or-way";
      readonly part: string;
      readonly paths: readonly string[];
      /** How many paths went through it. */
      readonly of: number;
    }
  | { readonly code: "output-not-planned"; readonly output: number; readonly pass: number }
  | {
      /** Paths that were to come back on channels of their own came back on one. */
      readonly code: "pass-on-one-channel";
      readonly file: string;
      readonly pass: number;
      /** Other passes came back on channels of their own, so that no level can be compared. */
      readonly isLeftOut?: true;
    }
  | {
      /** All channels from one on hold what belongs to the next. */
      readonly code: "channel-dropped";
      readonly file: string;
      readonly channel: number;
      /** It is one from here to `channel`, of which no path of the pass uses any; that one when absent. */
      readonly from?: number;
    }
  | {
      /** Fewer than desk.yaml names, where all that the passes use is there. */
      readonly code: "channels-fewer";
      readonly file: string;
      readonly channels: number;
      readonly named: number;
    }
  | {
      readonly code: "channels-exchanged";
      readonly file: string;
      readonly pass: number;
      readonly outputs: readonly {
        readonly output: number;
        readonly expected: number;
        readonly channel: number;
      }[];
    }
  | {
      readonly code: "name-near-pattern";
      readonly file: string;
      readonly pattern: string;
      readonly strip: string;
    }
  | {
      readonly code: "name-without-strip";
      readonly file: string;
      readonly words: readonly string[];
      readonly inputs: readonly string[];
    }
  | { readonly code: "name-of-unknown-strip"; readonly file: string; readonly strip: string }
  | { readonly code: "number-as-strip"; readonly file: string; readonly strip: string }
  | { readonly code: "not-asked-for"; readonly file: string; readonly paths: readonly string[] }
  | {
      readonly code: "channel-without-path";
      readonly file: string;
      readonly channels: readonly number[];
    }
  | {
      readonly code: "order-repeated";
      readonly files: readonly string[];
      readonly returns: number;
      readonly paths: number;
      readonly times: number;
      readonly first: string;
      readonly last: string;
      /** Paths of the returns where each was played once, by the run sheet; absent where they are not as many. */
      readonly instead?: readonly string[];
    }
  | {
      readonly code: "more-played-than-asked";
      readonly files: readonly string[];
      readonly returns: number;
      readonly first: string;
      readonly last: string;
      /** The paths that were asked for. */
      readonly kept: readonly string[];
    }
  | {
      readonly code: "more-returns-than-paths";
      readonly files: readonly string[];
      readonly returns: number;
      readonly paths: number;
    }
  | {
      readonly code: "fewer-returns-than-paths";
      readonly files: readonly string[];
      readonly returns: number;
      readonly paths: number;
      /** First and last path that is left without. */
      readonly without: readonly [first: string, last: string];
    }
  | { readonly code: "not-in-map"; readonly files: readonly string[]; readonly returns: number }
  | {
      readonly code: "room-for-a-signal";
      readonly file: string;
      /** Whether the recording goes on in further files. */
      readonly parts: "one" | "several";
      readonly gaps: readonly SilentGap[];
    }
  | { readonly code: "order-against-numbers"; readonly before: string; readonly after: string }
  | {
      readonly code: "silent-channel";
      readonly file: string;
      readonly channel: number;
      readonly path: string;
      /** The file with a return of the path. */
      readonly otherFile: string;
    }
  | {
      readonly code: "incomplete-return";
      readonly file: string;
      readonly part: IncompletePart;
      /** Whose it is most likely; absent where it is nobody's. */
      readonly path?: string;
      readonly by?: AssignedBy;
      /** The file with a whole return of the path; absent if there is none. */
      readonly wholeIn?: string;
    }
  | { readonly code: "without-path"; readonly returns: number }
  | {
      /** Returns from one on fit the path one further along the run sheet better than their own. */
      readonly code: "order-shifted";
      /** `late`: the path of `first` was most likely skipped; `early`: the one before played twice. */
      readonly places: "late" | "early";
      readonly file: string;
      /** Path that the first of them was taken for. */
      readonly first: string;
      readonly affected: number;
      /** Where it may as well have been from another path on: the first and the last of these. */
      readonly between?: readonly [first: string, last: string];
      /** The round that says so; absent where the families do. */
      readonly round?: string;
    }
  | {
      /** All returns of two inputs fit better as each other's. */
      readonly code: "inputs-exchanged";
      readonly inputs: readonly [string, string];
      readonly affected: number;
      /** The round that says so; absent where their noise does. */
      readonly round?: string;
    }
  | {
      /** More of a family stands out than new faults of a year explain. */
      readonly code: "many-newly-odd";
      readonly family: string;
      readonly paths: readonly string[];
      /** How many of the family were measured both times. */
      readonly of: number;
      readonly round: string;
    }
  | {
      /** Files fit better in another order than they were named in. */
      readonly code: "files-exchanged";
      readonly files: readonly string[];
      readonly likelier: readonly string[];
      readonly affected: number;
      readonly round?: string;
    }
  | {
      /** Takes of one path that are less alike than two paths are: another input, most likely. */
      readonly code: "takes-unlike";
      readonly paths: readonly string[];
      /** The paths without a return that the later takes may be, first and last. */
      readonly instead?: readonly [first: string, last: string];
    }
  | {
      /** The reference path of the desk file was not recorded, or not at one of its turns. */
      readonly code: "reference-missing";
      readonly name: string;
      readonly turns: "both" | "first" | "last";
    }
  | {
      readonly code: "reference-unusable";
      readonly name: string;
      readonly turn: "first" | "last";
      /** Absent in rounds of before, which have the words alone. */
      readonly because?: NotMeasured;
      /** The same in words, as a round keeps it. */
      readonly reason?: string;
    }
  | {
      /** The level changed while the round was recorded, at an unknown time. */
      readonly code: "level-drifted";
      readonly name: string;
      /** Last minus first, decibels. */
      readonly changeDb: number;
      readonly course: "step" | "creep" | "unclear";
    }
  | {
      /** The reference path reads otherwise at the end of the round than at its beginning. */
      readonly code: "readings-drifted";
      readonly name: string;
      readonly readings: readonly {
        readonly reading: string;
        readonly change: number;
        readonly unit: string;
        readonly atHz?: number;
      }[];
    }
  | {
      /** A stored round that cannot be read, so that nothing was compared with it. */
      readonly code: "round-passed-over";
      readonly round: string;
      /** A whole sentence that names the file. */
      readonly because: string;
    }
  | {
      readonly code: "same-recordings";
      /** The stored round that was made from them. */
      readonly round: string;
      readonly files: readonly string[];
      readonly share: "all" | "some";
    }
  // How they were recorded.
  | {
      readonly code: "several-takes";
      readonly path: string;
      readonly count: number;
      readonly chosen: "latest" | "health" | "asked";
      /** The take that counts, from 1, and its file where no other take lies in it. */
      readonly number: number;
      readonly file?: string;
      /** The latest take and what is wrong with it, where an earlier one counts for its health. */
      readonly worse?: {
        readonly number: number;
        /** Absent in rounds of before, which have the words alone. */
        readonly because?: TakeFault;
        /** The same in words, as a round keeps it. */
        readonly reason?: string;
      };
    }
  | {
      readonly code: "paths-with-takes";
      readonly count: number;
      readonly paths: readonly string[];
    }
  | {
      readonly code: "mixed-signals";
      readonly kinds: readonly { readonly profile: string; readonly sampleRateHz: number }[];
    }
  | {
      readonly code: "sweep-beyond-rate";
      readonly paths: readonly string[];
      readonly sampleRateHz: number;
      readonly sweepTopHz: number;
    }
  | { readonly code: "low-level"; readonly belowDb: number }
  /** Every path of a first round came back inverted. */
  | {
      readonly code: "all-inverted";
      readonly paths: number;
      /** The interface's own polarity was taken off. */
      readonly calibrated: boolean;
    }
  | { readonly code: "clipped"; readonly paths: readonly string[] }
  | {
      readonly code: "empty-side";
      readonly paths: readonly string[];
      readonly side: "left" | "right" | "other";
    }
  | {
      readonly code: "odd-clock";
      readonly path: string;
      readonly file: string;
      /** Clock against the other returns', millionths. */
      readonly offPpm: number;
      readonly samples: number;
    }
  | {
      readonly code: "calibration-of-another-year";
      /** Day of the calibration, YYYY-MM-DD. */
      readonly day: string;
      /** Days between it and the recordings. */
      readonly days: number;
    }
  | {
      /** Loopback and round were written in words of which the shorter add noise to one of them alone. */
      readonly code: "calibration-of-other-words";
      /** Day of the calibration, YYYY-MM-DD. */
      readonly day: string;
      /** Bits of its shortest recording, and of the round's. */
      readonly loopback: number;
      readonly round: number;
    }
  | {
      readonly code: "calibration-misfit";
      /** Day of the calibration, YYYY-MM-DD. */
      readonly day: string;
      readonly misfit:
        | { readonly of: "rate"; readonly sampleRateHz: number }
        | { readonly of: "band"; readonly band: string }
        | { readonly of: "channel"; readonly channel: number };
    }
  // How a loopback was recorded.
  | {
      /** Player and recorder are two devices. */
      readonly code: "loopback-of-two-clocks";
      readonly file: string;
      readonly atS: number;
      /** Where the file has several. */
      readonly channel?: number;
      readonly driftPpm: number;
    }
  | { readonly code: "loopback-inverted"; readonly channel: number }
  | {
      /** The voltage at the output is half of what the inputs are fed with. */
      readonly code: "half-voltage";
      readonly wholeDbu: number;
      readonly wholeVolts: number;
    };

/** Which kind of doubt it is. */
export type DoubtCode = Doubt["code"];

const orderCodes: ReadonlySet<DoubtCode> = new Set([
  "order-shifted",
  "files-exchanged",
  "inputs-exchanged",
  "many-newly-odd",
  "takes-unlike",
]);

/** Whether it is doubtful which path each return belongs to, so that no verdict on a path holds. */
export function isOrderDoubt({ code }: Pick<Doubt, "code">): boolean {
  return orderCodes.has(code);
}
