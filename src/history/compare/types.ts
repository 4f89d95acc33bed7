import type { Reading } from "../../measure/types.js";
import type { Condition } from "../condition.js";
import type { Standing } from "../standing.js";
import type { Incomparable, NoPartner } from "./incomparable.js";
import type { ReferenceSide } from "./reference-side.js";

/** Direction of a change: a purely descriptive reading has none. */
export type Course = "worse" | "better" | "neither";

/** The comparison of two rounds of a desk. */
export interface RoundComparison {
  readonly format: "deskround-comparison";
  readonly version: 1;
  readonly desk: string;
  readonly earlier: RoundName;
  readonly later: RoundName;
  /** From then to now. */
  readonly days: number;
  readonly tool: { readonly name: "deskround"; readonly version: string };
  /** Differences in how the rounds were made, and what was therefore not compared. */
  readonly conditions: readonly Condition[];
  /**
   * Changes common to whole families: reported once, and subtracted from every path's own change.
   */
  readonly shifts: readonly CommonShift[];
  /** In the order of the later round; then those that only the earlier one has. */
  readonly paths: readonly PathComparison[];
}

export interface RoundName {
  readonly id: string;
  readonly date: string;
}

/** A change common to the paths of one or several families. */
export interface CommonShift {
  readonly reading: string;
  readonly families: readonly string[];
  /** Number of paths that it was found on. */
  readonly paths: number;
  /** Now minus then. */
  readonly shift: number;
  readonly unit: string;
  /** Expanded, 95 %. */
  readonly uncertainty: number;
  readonly course: Course;
  /** Where on a curve it is largest, Hz; absent for a reading. */
  readonly atHz?: number;
  /** Whether the reference path changed in the same way; absent unless both rounds have one. */
  readonly reference?: ReferenceSide;
}

/**
 * What became of a path.
 *
 * - `new-fault`, `fault-gone`, `fault-still`: it stands out now, did then, or both times
 * - `other-fault`: it stands out both times, by another cause, and moved significantly
 * - `set-wrong`, `set-right`: a setting or a patch, not a part
 * - `drift`: something got significantly worse, without standing out (yet); `better`: only better
 * - `unsure`: it stands out in one round only, although nothing on it moved significantly
 * - `steady`: nothing moved significantly
 * - `no-partner`: one of the rounds has no measurement of it
 */
export type PathState =
  | "new-fault"
  | "other-fault"
  | "fault-still"
  | "fault-gone"
  | "set-wrong"
  | "set-right"
  | "drift"
  | "better"
  | "unsure"
  | "steady"
  | "no-partner";

export interface PathComparison {
  readonly path: string;
  readonly strip: string;
  readonly input: string;
  /** Of the later round. */
  readonly family: string;
  readonly state: PathState;
  /** Why there is no counterpart. */
  readonly noPartner?: NoPartner;
  /** The verdict on the path; absent if the round has no such path. */
  readonly earlier?: PathOpinion;
  readonly later?: PathOpinion;
  readonly readings: readonly ReadingChange[];
  /** Readings that only one round has, or that cannot be compared: id to reason. */
  readonly notCompared: Readonly<Record<string, Incomparable>>;
  readonly curves: readonly CurveChange[];
  /** The second side of a bus that was recorded in stereo in both rounds. */
  readonly partner?: Pick<PathComparison, "readings" | "notCompared" | "curves">;
}

export interface PathOpinion {
  readonly standing: Standing;
  /** Id and name of the likeliest cause. */
  readonly cause?: string;
  readonly causeName?: string;
}

/** The figures by which every change is judged. */
export interface Change {
  /** Now minus then. */
  readonly difference: number;
  /** The common change of the family; absent if there are too few siblings. */
  readonly shift?: number;
  /** The path's own change: difference minus shift. */
  readonly own: number;
  /** Expanded uncertainty (95 %) of `own`: both measurements, repeatability, siblings' scatter. */
  readonly uncertainty: number;
  /** `own` as a standard normal value. */
  readonly significance: number;
  /** Whether it is more than chance in some thousand comparisons. */
  readonly real: boolean;
  readonly course: Course;
  /** Set where one of the two is a bound, and the change therefore is one. */
  readonly bound?: "upper" | "lower";
}

export interface ReadingChange extends Change {
  readonly reading: string;
  /** Of the difference: two levels differ by decibels. */
  readonly unit: string;
  readonly earlier: Reading;
  readonly later: Reading;
}

/** A curve's largest sustained change in one part of the band. */
export interface CurveChange extends Change {
  readonly curve: string;
  readonly part: "low" | "middle" | "high";
  readonly unit: string;
  readonly atHz: number;
  /** The curve at that frequency. */
  readonly earlier: number;
  readonly later: number;
}
