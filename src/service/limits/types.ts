import type { StoredAbsences } from "../../history/absences.js";
import type { StoredReason } from "../../history/get-reason.js";
import type { RoundReference, RoundShared } from "../../history/types.js";
import type { Readings } from "../../measure/types.js";
import type { LeftAlone } from "../notebook/left-alone.js";
import type { Judged } from "./judged.js";
import type { Lack } from "./lack.js";

/** One limit as written, before its expression is compiled. */
export interface Limit {
  readonly name: string;
  /** The expression as written: `noiseA <= -82 dBu`. */
  readonly text: string;
  readonly why?: string;
  /**
   * A limit from the file must be judged on every path it applies to; a built-in one is left out,
   * with a note, if the round cannot be judged by it.
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
   * The path's own, its siblings' median, or its own in the baseline round; `scale`: 0 dBFS in dBu
   * at the interface's input, by the round's calibration.
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

/** A comparison, ready to be evaluated; both sides in `unit`. */
export interface Comparison {
  readonly relation: Relation;
  readonly unit: string;
  /** The judged quantity, as an expression. */
  readonly quantity: string;
  readonly judged: Judged;
  /** Its value. @param figures in the order of the limit's list */
  readonly value: (figures: readonly number[]) => number;
  /** The bound it is judged by. */
  readonly bound: (figures: readonly number[]) => number;
  /**
   * Largest change of value minus bound per change of each figure; absent if that depends on the
   * figures.
   */
  readonly rates?: readonly number[];
}

/** A limit with compiled expression and checked units. */
export interface CompiledLimit {
  readonly limit: Limit;
  readonly figures: readonly Operand[];
  /** All of them must be met; at every point of the band, if there is one. */
  readonly comparisons: readonly Comparison[];
  readonly band?: FrequencyBand;
}

/**
 * `undecided`: closer to the limit than the uncertainty. `incomplete`: the quantity was not
 * measured.
 */
export type Verdict = "pass" | "fail" | "undecided" | "incomplete";

/** One limit on one path. */
export interface LimitCheck {
  readonly limit: string;
  /** Reading id or curve name that is judged. */
  readonly reading: string;
  readonly verdict: Verdict;
  /** The judged quantity, as an expression: the reading alone, or an expression with it. */
  readonly quantity?: string;
  /** The same as data; absent when incomplete. */
  readonly judged?: Judged;
  /** Its value, at the worst point of a curve; absent when incomplete. */
  readonly value?: number;
  readonly relation?: Relation;
  readonly bound?: number;
  readonly unit?: string;
  /** Expanded uncertainty (95 %) of value minus bound: the width of the guard band. */
  readonly uncertainty?: number;
  /** Distance inside the limit, negative outside; unit of the value. */
  readonly slack?: number;
  /** What limits the figure, if that is why it is undecided. */
  readonly limitedBy?: "noise" | "interface";
  readonly atHz?: number;
  /** Why it is incomplete. */
  readonly lack?: Lack;
  /** The quantity that lacks it, as an expression; absent if the whole path does. */
  readonly lacking?: string;
}

/** A verdict after undecided ones are counted as pass or fail. */
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

/** A shared fault, checked besides the limits. */
export interface SharedCheck {
  readonly fault: RoundShared;
  /** `fail` if it needs service or at least half of its paths fail a limit; else undecided. */
  readonly verdict: "fail" | "undecided";
  readonly counts: "fail" | "pass";
}

/** What a check left out, and other notes needed to interpret it. */
export type CheckNote =
  /** A built-in limit that this round, or its baseline, cannot be judged by: why, in a sentence. */
  | { readonly code: "limit-unusable"; readonly limit: string; readonly why: string }
  /** Built-in limits that lack the same thing for the same families. */
  | {
      readonly code: "left-out";
      readonly families: readonly string[];
      readonly limits: readonly string[];
      readonly lack: Lack;
      /** The quantity that lacks it, if it is a single limit. */
      readonly lacking?: string;
    }
  /** Paths with findings in the baseline round, which are not compared with it. */
  | { readonly code: "spared"; readonly paths: readonly string[] }
  | { readonly code: "left-alone"; readonly oddity: LeftAlone }
  | { readonly code: "limit-for-no-path"; readonly limit: string }
  | { readonly code: "paths-without-limit"; readonly paths: readonly string[] }
  | { readonly code: "reference-path"; readonly reference: RoundReference }
  /** A damaged round that was skipped while looking for the baseline: why, in a sentence. */
  | { readonly code: "baseline-passed-over"; readonly why: string };

/** Result of checking a round by its limits. */
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
    /** Number of paths it applied to. */
    readonly paths: number;
  }[];
  /** Shared faults, before the strips; absent if none. */
  readonly shared?: readonly SharedCheck[];
  readonly strips: readonly StripCheck[];
  /** Paths with at least one limit. */
  readonly paths: readonly PathCheck[];
  readonly notes: readonly CheckNote[];
}
