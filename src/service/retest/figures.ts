import type { Incomparable } from "../../history/compare/incomparable.js";
import type { StoredReason } from "../../history/get-reason.js";
import type { RoundFinding } from "../../history/types.js";
import type { Absence } from "../../measure/absence.js";
import type { MeterLine } from "../meter/judge.js";
import type { ItemName } from "../plan/plan-data.js";

/** What is left of a finding of the earlier round. */
export type FindingNow =
  /** Its reading could not be made now; why, where the round says so. */
  | { readonly code: "not-read"; readonly because?: Absence }
  | { readonly code: "not-comparable"; readonly because: Incomparable }
  /** Heard with other strips: all of them together have less than the fault alone would give. */
  | { readonly code: "gone-in-sum"; readonly strips: number }
  /** Heard with other strips, among which it may be hidden. */
  | { readonly code: "hidden-in-sum"; readonly strips: number }
  | {
      /** `still`: it stands out as before; `alike`: like its siblings; `unclear`: it did not move. */
      readonly code: "still" | "alike" | "unclear";
      /** From what is expected, in `unit`. */
      readonly off: number;
      readonly unit: string;
    }
  | {
      /** With the fault still there it could read the same. */
      readonly code: "hidden";
      readonly off: number;
      readonly unit: string;
      /** What it would be then, at most, from what is expected. */
      readonly withFault: number;
      /** By how much what is common to all rose and hides it, decibels; 0 where it did not. */
      readonly riseDb: number;
    };

/** What was measured of an item of the plan, then and now; worded in `report/retest-figures`. */
export type RetestFigure =
  /** No measurement shows it. */
  | { readonly code: "noted-only" }
  /** It was noted alone; another item of the strip was measured and is repaired. */
  | { readonly code: "answered-by"; readonly name: ItemName }
  | (StoredReason & { readonly code: "not-measured"; readonly path: string })
  /** A path of the plan that the re-test does not have. */
  | { readonly code: "not-again"; readonly path: string }
  /** The signal comes back again. */
  | {
      readonly code: "signal-back";
      readonly path: string;
      /** What stands out now. */
      readonly finding?: RoundFinding;
    }
  | { readonly code: "signal-gone"; readonly path: string }
  | {
      readonly code: "findings";
      readonly path: string;
      readonly findings: readonly { readonly finding: RoundFinding; readonly now: FindingNow }[];
    }
  /** What stands out on a path that the earlier round found sound. */
  | {
      readonly code: "new-findings";
      readonly path: string;
      readonly findings: readonly RoundFinding[];
    }
  | {
      readonly code: "metered";
      /** What was measured, and of which part. */
      readonly what: string;
      readonly earlier: MeterLine["values"];
      /** Absent where it was not measured again. */
      readonly later?: MeterLine["values"];
      readonly isInOrder?: true;
    };
