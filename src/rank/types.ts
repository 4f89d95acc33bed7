export type Severity = "remark" | "watch" | "service";

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
  /** One line for people: "noise 9.1 dB above its siblings". */
  readonly words: string;
  /** Where on the curve the finding lies, for curves. */
  readonly atHz?: number;
  /** The side of a stereo bus that shows it; absent for the first one and for both. */
  readonly side?: "left" | "right";
}
