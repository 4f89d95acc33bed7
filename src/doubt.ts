import type { Heard, IncompletePart, NotMeasured, TakeFault } from "./not-measured.js";

export type { IncompletePart };

/** A pause in which a whole signal may have been played without coming back. */
export interface SilentGap {
  readonly fromS: number;
  readonly untilS: number;
  /** How many whole signals fit into it. */
  readonly signals: number;
  /** Path of the return after it. */
  readonly before?: string;
}

/** How a return was assigned to its path. */
export type AssignedBy = "map" | "name" | "channel" | "output" | "order";

/**
 * What may make a verdict wrong, as data: a code and its facts. `report/doubts` has the words,
 * once. Files are as given; channels count from 0; times are seconds.
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
      /** Absent if the samples are compressed. */
      readonly sampleBytes?: number;
    }
  | {
      readonly code: "invalid-samples";
      readonly file: string;
      readonly count: number;
      /** Set if only one of several channels is affected. */
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
      /** Outputs of a pass that play at once overlap: they were recorded as one. */
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
      /** What came back instead; absent in older rounds, which hold only the words. */
      readonly instead?: Heard;
      /** The same in words, as a round keeps it. */
      readonly heard?: string;
      /** Whose turn it was, by the order of the files. */
      readonly path?: string;
    }
  // Whose they are.
  | { readonly code: "more-passes"; readonly passes: number; readonly planned: number }
  | {
      /** Passes whose channels show that they are not the next on the run sheet, but others. */
      readonly code: "passes-out-of-order";
      readonly passes: readonly { readonly file: string; readonly pass: number }[];
    }
  | {
      /** Nothing shows which of the run sheet are missing. */
      readonly code: "fewer-passes";
      readonly passes: number;
      readonly planned: number;
      /** Which ones they were taken for; absent in older rounds. */
      readonly taken?: readonly number[];
    }
  | {
      /** Nothing shows whether the sheet of some paths or of the whole desk was played. */
      readonly code: "passes-of-which-sheet";
      readonly passes: number;
      readonly planned: number;
    }
  | {
      /** A channel is identical to another one. */
      readonly code: "channel-copied";
      readonly file: string;
      readonly channel: number;
      readonly of: number;
    }
  | {
      /** Outputs that had turns but never came back. */
      readonly code: "outputs-not-heard";
      readonly outputs: readonly number[];
    }
  | {
      /** Paths that stand out, each fed by an output that fed no other of its family. */
      readonly code: "strip-or-output";
      readonly paths: readonly string[];
    }
  | {
      /** Either an output or bus of the passes, or each of the strips that show the same. */
      readonly code: "strips-or-way";
      readonly part: string;
      readonly paths: readonly string[];
      /** How many paths went through it. */
      readonly of: number;
    }
  | { readonly code: "output-not-planned"; readonly output: number; readonly pass: number }
  | {
      /** Paths that should have come back on separate channels came back on one. */
      readonly code: "pass-on-one-channel";
      readonly file: string;
      readonly pass: number;
      /** Other passes came back on separate channels, so that levels cannot be compared. */
      readonly isLeftOut?: true;
    }
  | {
      /** All channels from one on hold what belongs to the next. */
      readonly code: "channel-dropped";
      readonly file: string;
      readonly channel: number;
      /**
       * The dropped channel is one from here to `channel`, none of which the pass uses; if absent,
       * it is `channel`.
       */
      readonly from?: number;
    }
  | {
      /** Fewer channels than desk.yaml names, but all that the passes use. */
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
      /**
       * Paths of the returns if each was played once, by the run sheet; absent if the numbers
       * differ.
       */
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
      /** First and last path left without a return. */
      readonly without: readonly [first: string, last: string];
    }
  | { readonly code: "not-in-map"; readonly files: readonly string[]; readonly returns: number }
  | {
      readonly code: "room-for-a-signal";
      readonly file: string;
      /** Whether the recording continues in further files. */
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
      /** The path it most likely belongs to; absent if there is none. */
      readonly path?: string;
      readonly by?: AssignedBy;
      /** The file with a whole return of the path; absent if there is none. */
      readonly wholeIn?: string;
    }
  | { readonly code: "without-path"; readonly returns: number }
  | {
      /** Returns from one on fit the path one further along the run sheet better than their own. */
      readonly code: "order-shifted";
      /**
       * `late`: the path of `first` was most likely skipped; `early`: the previous one was played
       * twice.
       */
      readonly places: "late" | "early";
      readonly file: string;
      /** Path that the first of them was assigned to. */
      readonly first: string;
      readonly affected: number;
      /** Set if the shift may have started at another path: the first and last of these. */
      readonly between?: readonly [first: string, last: string];
      /** The round that shows it; absent if the families do. */
      readonly round?: string;
    }
  | {
      /** All returns of two inputs fit better as each other's. */
      readonly code: "inputs-exchanged";
      readonly inputs: readonly [string, string];
      readonly affected: number;
      /** The round that shows it; absent if their noise does. */
      readonly round?: string;
    }
  | {
      /** More paths of a family stand out than a year's new faults explain. */
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
      /**
       * Takes of one path that differ more than two paths do: most likely they are of another
       * input.
       */
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
      /** Absent in older rounds, which hold only the words. */
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
      /** The reference path has other readings at the end of the round than at its start. */
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
      /** A stored round that cannot be read, so nothing was compared with it. */
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
      /** The take that counts, from 1, and its file if it holds no other take. */
      readonly number: number;
      readonly file?: string;
      /**
       * The latest take and what is wrong with it, if an earlier one counts because it is better.
       */
      readonly worse?: {
        readonly number: number;
        /** Absent in older rounds, which hold only the words. */
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
      /** The interface's own polarity was corrected. */
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
      /** Clock relative to the other returns', ppm. */
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
      /**
       * Loopback and round were recorded with different word lengths; the shorter adds noise to
       * only one of them.
       */
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
      /** Set if the file has several. */
      readonly channel?: number;
      readonly driftPpm: number;
    }
  | { readonly code: "loopback-inverted"; readonly channel: number }
  | {
      /** The voltage at the output is half the voltage that feeds the inputs. */
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

/** Whether returns may be assigned to the wrong paths, so that no verdict on a path is reliable. */
export function isOrderDoubt({ code }: Pick<Doubt, "code">): boolean {
  return orderCodes.has(code);
}
