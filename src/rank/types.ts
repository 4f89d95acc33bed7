import type { Unheard } from "../not-measured.js";

export type Severity = "remark" | "watch" | "service";

/** What a finding says beside its figures, as data; `report/findings` has the words. */
export type Observation =
  | {
      /** It lies above or below what its siblings have. */
      readonly code: "deviates";
      readonly siblings: number;
      /** Set where the siblings' own values lie below what was measured of them. */
      readonly atLeast?: true;
    }
  /** One of few values, and not that of its siblings. */
  | { readonly code: "unlike"; readonly siblings: number }
  | { readonly code: "nothing-back"; readonly heard: Unheard };

/** A reading that stands out. */
export interface Finding {
  /** Reading id, or `response` for the curve. */
  readonly reading: string;
  readonly against: "siblings" | "limit" | "baseline";
  readonly value: number;
  readonly expected: number;
  /** value − expected, in the reading's unit. */
  readonly deviation: number;
  readonly unit: string;
  /** Deviation in robust standard deviations of the family, floored by the uncertainty. */
  readonly score: number;
  readonly severity: Severity;
  readonly observation: Observation;
  /** Set where all else is as if another input had been recorded. */
  readonly elseAs?: "another-input";
  /** Where on the curve the finding lies, for curves. */
  readonly atHz?: number;
  /** The side of a stereo bus that shows it; absent for the first one and for both. */
  readonly side?: "left" | "right";
}
