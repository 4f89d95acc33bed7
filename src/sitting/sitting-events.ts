import type { IncompleteReturn } from "../capture/types.js";
import type { DeskroundError } from "../errors.js";
import type { Heard } from "../not-measured.js";
import type { SharedFault } from "../rank/shared/types.js";
import type { RunSheetPatch } from "../service/run-sheet.js";
import type { Segment } from "../signal/types.js";
import type { ChainCheck } from "./check-chain.js";
import type { FollowEvent } from "./follow/follow-recordings.js";
import type { PassedOver } from "./follow/screen-recordings.js";
import type { HeardNow } from "./hear-recordings.js";
import type { Answer, SittingTake } from "./types.js";

/** A command that was carried out. */
export type DoneCommand =
  | "again"
  | "skip"
  | "kept"
  | "silent"
  | "drop"
  | "note"
  | "pause"
  | "resume";

/** The path whose turn it is. */
export interface Turn {
  readonly path: string;
  /** How many paths have had their turn, and how many are wanted. */
  readonly done: number;
  readonly wanted: number;
  /** What to plug and set for it, coming from the previous path. */
  readonly patch: RunSheetPatch;
}

/** What a sitting reports as it runs: plain data, worded in `report/`. */
export type SittingEvent =
  | {
      readonly kind: "begun";
      readonly sitting: string;
      readonly target: string;
      readonly wanted: number;
      /** Returns that were decided before, if an earlier sitting is resumed. */
      readonly resumed?: number;
      /** Recordings that were in the folder already and are left alone. */
      readonly leftAlone: number;
      readonly end: "by-command" | "when-complete";
    }
  | { readonly kind: "recording"; readonly event: FollowEvent }
  /** A file that is not a recording of the sitting. */
  | { readonly kind: "passed-over"; readonly passedOver: PassedOver }
  /** No recording has appeared so far: reported once. */
  | {
      readonly kind: "waiting";
      readonly target: string;
      readonly isFolder: boolean;
      /** A recording in the same folder whose name is nearly that. */
      readonly near?: string;
    }
  | { readonly kind: "turn"; readonly turn: Turn }
  /** All paths have had their turn. */
  | { readonly kind: "complete"; readonly end: "by-command" | "when-complete" }
  | {
      readonly kind: "now";
      readonly now: HeardNow;
      /** The segment of the signal that plays. */
      readonly segment?: Segment | "controls-pass";
      /** How far the signal has come, 0 to 1. */
      readonly share?: number;
    }
  /** Nothing new has come for a while. */
  | {
      readonly kind: "idle";
      /** The recording that grew last; absent before the first one. */
      readonly file?: string;
      readonly forS: number;
      readonly recorder: "open" | "closed";
    }
  /** A recorder that has not closed its file adds nothing to it: reported once. */
  | {
      readonly kind: "stalled";
      readonly file: string;
      readonly forS: number;
      /** Whether a return had begun and not ended. */
      readonly isPlaying: boolean;
    }
  | { readonly kind: "answer"; readonly answer: Answer; readonly take: SittingTake }
  /** An earlier answer that changed as siblings came in. */
  | { readonly kind: "revised"; readonly answer: Answer; readonly before: Answer }
  /** What all paths share, when it becomes known or changes. */
  | { readonly kind: "shared"; readonly shared: readonly SharedFault[] }
  | {
      readonly kind: "cut";
      readonly cut: IncompleteReturn;
      readonly atS: number;
      readonly path?: string;
    }
  /** A recording has ended without anything of the signal in it. */
  | {
      readonly kind: "nothing-came";
      readonly file: string;
      /** The path that it was meant for. */
      readonly path?: string;
      /** What was heard instead. */
      readonly heard: Heard;
      /** Whether the path may be to blame, or only how it was recorded. */
      readonly blame: "path" | "capture";
    }
  /** Something plays that is not the signal, or whose start was missed: reported once. */
  | { readonly kind: "stray"; readonly file: string; readonly peakDbfs: number }
  /** Several returns in a row fit the path after their own: one was skipped. */
  | {
      readonly kind: "shifted";
      readonly moves: readonly { readonly path: string; readonly fits: string }[];
    }
  /** A recording runs at another rate than those before. */
  | {
      readonly kind: "other-rate";
      readonly file: string;
      readonly sampleRate: number;
      readonly before: number;
    }
  /** A return that no path is left for, or one while the sitting is paused. */
  | {
      readonly kind: "unplaced";
      readonly file: string;
      readonly atS: number;
      readonly why: "paused" | "complete" | "wrong-signal" | "other-signal";
    }
  | { readonly kind: "controls-pass"; readonly file: string }
  | { readonly kind: "outputs-pass"; readonly file: string }
  /** Returns that are gone with their recording: these paths need another turn. */
  | { readonly kind: "lost"; readonly file: string; readonly paths: readonly string[] }
  /** Before the first sound: nothing is played until this is answered. */
  | { readonly kind: "ask-muted" }
  /** The program has begun to play: the soft signal of the first time, or the signal; or it has ended. */
  | { readonly kind: "sound"; readonly what: "soft" | "signal" | "over"; readonly path: string }
  | { readonly kind: "chain"; readonly chain: ChainCheck }
  | { readonly kind: "done"; readonly command: DoneCommand; readonly path?: string }
  | { readonly kind: "refused"; readonly error: DeskroundError };
