import type { StoredReason } from "../../history/get-reason.js";
import type { Absence } from "../../measure/absence.js";

/** Why a limit cannot be judged on a path, as data; worded in `report/check/`. */
export type Lack =
  /** Why the round has no such reading or curve. */
  | { readonly code: "not-made"; readonly because: Absence }
  | (StoredReason & { readonly code: "not-measured"; readonly status: "missing" | "unusable" })
  | { readonly code: "not-in-signal" }
  /** Full scale of the interface's input is not known. */
  | { readonly code: "input-not-calibrated" }
  | { readonly code: "no-curve"; readonly curve?: string }
  | { readonly code: "short-curve"; readonly fromHz: number; readonly toHz: number }
  | { readonly code: "few-siblings"; readonly least: number }
  | { readonly code: "not-in-baseline" }
  /** What the baseline round lacks. */
  | { readonly code: "of-baseline"; readonly lack: Lack }
  /** A sum of strips is too high, and it is not known which one causes it. */
  | {
      readonly code: "loud-sum";
      readonly reading: string;
      readonly strips: number;
      readonly above: number;
      /** Of the reading. */
      readonly unit: string;
    }
  | { readonly code: "division-by-zero" }
  | { readonly code: "no-point" };
