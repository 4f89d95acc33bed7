import type { Incomparable } from "../../history/compare/incomparable.js";
import type { StoredReason } from "../../history/get-reason.js";
import type { RoundFinding } from "../../history/types.js";
import type { Absence } from "../../measure/absence.js";
import type { MeterLine } from "../meter/judge.js";
import type { ItemName } from "../plan/plan-data.js";

/** State of a finding of the earlier round. */
export type FindingNow =
  /** Its reading could not be made now; with the reason, if the round has it. */
  | { readonly code: "not-read"; readonly because?: Absence }
  | { readonly code: "not-comparable"; readonly because: Incomparable }
  /** Measured as a sum with other strips: the sum is less than the fault alone would give. */
  | { readonly code: "gone-in-sum"; readonly strips: number }
  /** Measured as a sum with other strips, which may hide it. */
  | { readonly code: "hidden-in-sum"; readonly strips: number }
  | {
      /**
       * `still`: out as before; `alike`: like its siblings; `unclear`: it did not change
       * significantly.
       */
      readonly code: "still" | "alike" | "unclear";
      /** Distance from the expected value, in `unit`. */
      readonly off: number;
      readonly unit: string;
    }
  | {
      /** With the fault still there it could read the same. */
      readonly code: "hidden";
      readonly off: number;
      readonly unit: string;
      /** Largest distance from the expected value if the fault were still there. */
      readonly withFault: number;
      /** Decibels by which the common level rose and hides it; 0 if it did not. */
      readonly riseDb: number;
    };

/** Measurements of an item of the plan, then and now; worded in `report/retest-figures`. */
export type RetestFigure =
  /** No measurement can show it. */
  | { readonly code: "noted-only" }
  /** It was only noted; another item of the strip was measured and is repaired. */
  | { readonly code: "answered-by"; readonly name: ItemName }
  | (StoredReason & { readonly code: "not-measured"; readonly path: string })
  /** A path of the plan that is missing in the re-test. */
  | { readonly code: "not-again"; readonly path: string }
  /** The signal comes back again. */
  | {
      readonly code: "signal-back";
      readonly path: string;
      /** Its finding now. */
      readonly finding?: RoundFinding;
    }
  | { readonly code: "signal-gone"; readonly path: string }
  | {
      readonly code: "findings";
      readonly path: string;
      readonly findings: readonly { readonly finding: RoundFinding; readonly now: FindingNow }[];
    }
  /** A finding on a path that was good in the earlier round. */
  | {
      readonly code: "new-findings";
      readonly path: string;
      readonly findings: readonly RoundFinding[];
    }
  | {
      readonly code: "metered";
      /** What was measured, with the part. */
      readonly what: string;
      readonly earlier: MeterLine["values"];
      /** Absent if it was not measured again. */
      readonly later?: MeterLine["values"];
      readonly isInOrder?: true;
    };
