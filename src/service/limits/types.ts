import type { StoredAbsences } from "../../history/absences.js";
import type { StoredReason } from "../../history/get-reason.js";
import type { RoundReference, RoundShared } from "../../history/types.js";
import type { Readings } from "../../measure/types.js";
import type { LeftAlone } from "../notebook/left-alone.js";
import type { Judged } from "./judged.js";
import type { Lack } from "./lack.js";

/** One limit as written, before its expression is understood. */
export interface Limit {
  readonly name: string;
  /** The expression as written: `noiseA <= -82 dBu`. */
  readonly text: string;
  readonly why?: string;
  /**
   * A limit from the file must be judged on every path it is for; a built-in one is left out, with
   * a note, where a round has nothing to judge it by.
   */
  readonly from: "built-in" | "file";
  /** For messages: "limits.yaml line 4". */
  readonly where: string;
  /** Paths, inputs, families, strips; all paths when absent. */
  readonly only?: readonly string[];
  readonly except?: readonly string[];
}

/** A figure that an expression names. */
export interface Operand {
  /**
   * The path's own, its siblings' median, or its own in the baseline round; `scale`: what 0 dBFS is
   * in dBu at the input of the interface that it was recorded by, as the round's calibration says.
   */
  readonly whose: "own" | "siblings" | "baseline" | "scale";
  /** A reading's id, or a curve's name. */
  readonly id: string;
  /** Where on the curve; absent for readings. */
  readonly at?: CurvePoint;
}

/** One frequency of a curve, or every point from one to another, Hz. */
export type CurvePoint = { readonly hz: number } | FrequencyBand;

export interface FrequencyBand {
  readonly fromHz: number;
  readonly toHz: number;
}

export type Relation = "<=" | "<" | ">=" | ">" | "==";

/** A comparison, ready to be worked out; both sides in `unit`. */
export interface Comparison {
  readonly relation: Relation;
  readonly unit: string;
  /** What is judged, as an expression. */
  readonly quantity: string;
  readonly judged: Judged;
  /** Its value. @param figures in the order of the limit's list */
  readonly value: (figures: readonly number[]) => number;
  /** What it is judged by. */
  readonly bound: (figures: readonly number[]) => number;
  /**
   * How far value minus bound moves at most when a figure does, as a factor for each; absent where
   * that depends on the figures.
   */
  readonly rates?: readonly number[];
}

/** A limit whose expression is understood and whose units are checked. */
export interface CompiledLimit {
  readonly limit: Limit;
  readonly figures: readonly Operand[];
  /** All of them must hold; at every point of the band, when there is one. */
  readonly comparisons: readonly Comparison[];
  readonly band?: FrequencyBand;
}

/**
 * `undecided`: nearer to the limit than the measurement is certain. `incomplete`: what the limit
 * is about was not measured.
 */
export type Verdict = "pass" | "fail" | "undecided" | "incomplete";

/** One limit on one path. */
export interface LimitCheck {
  readonly limit: string;
  /** Reading id or curve name that is judged. */
  readonly reading: string;
  readonly verdict: Verdict;
  /** What was judged, as an expression: the reading alone, or what the limit makes of it. */
  readonly quantity?: string;
  /** The same as data; absent when incomplete. */
  readonly judged?: Judged;
  /** Its value, at the worst point of a curve; absent when incomplete. */
  readonly value?: number;
  readonly relation?: Relation;
  readonly bound?: number;
  readonly unit?: string;
  /** Expanded uncertainty (95 %) of value against bound: the width of the guard band. */
  readonly uncertainty?: number;
  /** How far inside the limit, negative outside; unit of the value. */
  readonly slack?: number;
  /** What set the figure, when that is why nothing can be decided. */
  readonly limitedBy?: "noise" | "interface";
  readonly atHz?: number;
  /** Why it is incomplete. */
  readonly lack?: Lack;
  /** What lacks it, as an expression; absent where the path as a whole does. */
  readonly lacking?: string;
}

/** What a verdict counts as, when undecided ones have been counted in. */
export type CountedVerdict = "pass" | "fail" | "incomplete";

export interface PathCheck extends StoredAbsences, StoredReason {
  readonly path: string;
  readonly strip: string;
  readonly input: string;
  readonly family: string;
  readonly status: "measured" | "missing" | "unusable";
  readonly verdict: Verdict;
  readonly counts: CountedVerdict;
  readonly checks: readonly LimitCheck[];
  /** As in the round. */
  readonly readings: Readings;
}

export interface StripCheck {
  readonly strip: string;
  readonly counts: CountedVerdict;
  readonly paths: readonly string[];
}

/** A fault of what several paths share, beside the limits. */
export interface SharedCheck {
  readonly fault: RoundShared;
  /** `fail` where it wants service or at least half of its paths fail a limit; else undecided. */
  readonly verdict: "fail" | "undecided";
  readonly counts: "fail" | "pass";
}

/** What a check left out, and what else must be known to read it. */
export type CheckNote =
  /** A built-in limit that this round, or its baseline, cannot be judged by: why, in a sentence. */
  | { readonly code: "limit-unusable"; readonly limit: string; readonly why: string }
  /** Built-in limits that lack the same for the same families. */
  | {
      readonly code: "left-out";
      readonly families: readonly string[];
      readonly limits: readonly string[];
      readonly lack: Lack;
      /** What lacks it, if there is one limit. */
      readonly lacking?: string;
    }
  /** Paths out of line in the baseline round, which are not held to what they read then. */
  | { readonly code: "spared"; readonly paths: readonly string[] }
  | { readonly code: "left-alone"; readonly oddity: LeftAlone }
  | { readonly code: "limit-for-no-path"; readonly limit: string }
  | { readonly code: "paths-without-limit"; readonly paths: readonly string[] }
  | { readonly code: "reference-path"; readonly reference: RoundReference }
  /** A damaged round that was skipped on the way to the baseline: why, in a sentence. */
  | { readonly code: "baseline-passed-over"; readonly why: string };

/** A round against its limits. */
export interface Check {
  readonly format: "deskround-check";
  readonly version: 1;
  readonly desk: string;
  readonly round: string;
  /** Of the round, ISO 8601. */
  readonly date: string;
  readonly baseline?: string;
  readonly tool: { readonly name: "deskround"; readonly version: string };
  /** How undecided verdicts count. */
  readonly undecided: "pass" | "fail";
  readonly verdict: CountedVerdict;
  readonly limits: readonly {
    readonly name: string;
    readonly expression: string;
    readonly from: "built-in" | "file";
    readonly why?: string;
    /** Paths it was for. */
    readonly paths: number;
  }[];
  /** What several paths share, before the strips; absent where there is nothing. */
  readonly shared?: readonly SharedCheck[];
  readonly strips: readonly StripCheck[];
  /** Those that a limit is for. */
  readonly paths: readonly PathCheck[];
  readonly notes: readonly CheckNote[];
}
