import type { Unheard } from "../not-measured.js";

export type Severity = "remark" | "watch" | "service";

/** The observation of a finding besides its values, as data; `report/findings` has the words. */
export type Observation =
  | {
      /** It is above or below its siblings. */
      readonly code: "deviates";
      readonly siblings: number;
      /** Set if the siblings' values are upper bounds. */
      readonly atLeast?: true;
    }
  /** One of few values, different from its siblings'. */
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
  /** Set if everything else looks as if another input had been recorded. */
  readonly elseAs?: "another-input";
  /** Frequency of the finding, for curves. */
  readonly atHz?: number;
  /** The side of a stereo bus that shows it; absent for the first one and for both. */
  readonly side?: "left" | "right";
}
