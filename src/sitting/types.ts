import type { Cause } from "../diagnose/types.js";
import type { NotMeasured } from "../not-measured.js";
import type { SharedFinding } from "../rank/shared/types.js";
import type { Finding } from "../rank/types.js";

/** Where in the recordings of a sitting a return begins. */
export interface TakePlace {
  readonly file: string;
  readonly channel: number;
  /** Sample frame. */
  readonly startSample: number;
}

/** How the path of a return was decided: as it was next, by its file's name or channel, by a key. */
export type TakenBy = "turn" | "name" | "channel" | "key";

/** A return of a sitting, and the path that it is taken for. */
export interface SittingTake extends TakePlace {
  /** Absent for one that does not count. */
  readonly path?: string;
  readonly by: TakenBy;
}

/** What was decided at the desk: a line of the sitting's journal each. */
export type Decision =
  | ({ readonly kind: "take" } & SittingTake)
  /** A return is another path's than it was taken for; without a path it does not count. */
  | ({ readonly kind: "assign"; readonly path?: string } & TakePlace)
  | { readonly kind: "next"; readonly path: string }
  | { readonly kind: "skip"; readonly path: string }
  | { readonly kind: "silent"; readonly path: string }
  | { readonly kind: "renamed"; readonly from: string; readonly file: string }
  /** A recording is gone, and its returns with it. */
  | { readonly kind: "lost"; readonly file: string };

/** What a return is compared with. */
export type AnswerBasis = "siblings" | "last-round" | "nothing";

/** The answer to a return: plain data, worded in `report/`. */
export interface Answer {
  readonly path: string;
  /** From 1. */
  readonly take: number;
  readonly standing:
    | "alike"
    | "watch"
    | "service"
    | "setting"
    | "unjudged"
    | "unusable"
    | "unheard";
  readonly against: AnswerBasis;
  /** Siblings measured in this sitting. */
  readonly siblings: number;
  /** What stands out, the worst first. */
  readonly findings: readonly Finding[];
  readonly cause?: Cause;
  /** What is beyond the expectations of the desk file, where there is nothing else to go by. */
  readonly beyond?: readonly SharedFinding[];
  /** Why it could not be measured. */
  readonly because?: NotMeasured;
  /** Path whose last round it fits far better than that of its own. */
  readonly fits?: string;
  /** The converter clipped in it. */
  readonly clipped?: true;
}

/** What the person at the desk, or a script, asks for. */
export type SittingCommand =
  /** The path that had its turn last is played again: that take counts. */
  | { readonly do: "again" }
  /** This path is left out. */
  | { readonly do: "skip" }
  /** It is patched and gives nothing back. */
  | { readonly do: "silent" }
  /** The path before. */
  | { readonly do: "back" }
  /** The signal is played into the path whose turn it is, and recorded. */
  | { readonly do: "play" }
  /** Monitors are muted and headphones down. */
  | { readonly do: "muted" }
  /** The last return does not count. */
  | { readonly do: "drop" }
  /** The last return is of the path that it fits. */
  | { readonly do: "accept" }
  | { readonly do: "next"; readonly path: string }
  /** The last return is of this path. */
  | { readonly do: "assign"; readonly path: string }
  | { readonly do: "note"; readonly text: string }
  /** What is heard does not count until it is asked for again. */
  | { readonly do: "pause" }
  /** A round is made of what was heard. */
  | { readonly do: "end" }
  /** The sitting stays open and can be gone on with. */
  | { readonly do: "leave" };
