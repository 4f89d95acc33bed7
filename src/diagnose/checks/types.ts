import type { PowerState } from "../bench.js";
import type { CheckOutcome } from "./check-kinds.js";

/** How likely an outcome of a check is, and the causes after it, the likeliest first. */
export interface ExpectedOutcome {
  readonly outcome: CheckOutcome;
  /** As a clause. */
  readonly words: string;
  /** 0 to 1. */
  readonly probability: number;
  readonly causes: readonly { readonly cause: string; readonly probability: number }[];
}

/** The value of a check before it is done. */
export interface CheckValue {
  /** Id of the check, or `settle:` and the cause that it confirms once the desk is open. */
  readonly check: string;
  readonly power: PowerState;
  /** Minutes that it takes, including opening the desk if needed. */
  readonly minutes: number;
  /** Minutes of search and repair that it is expected to save, before subtracting its own. */
  readonly savesMinutes: number;
  /** The same per minute that it takes. */
  readonly gainPerMinute: number;
  /** Expected information about the causes, bits. */
  readonly bits: number;
}

/** The check with the best value for its cost. */
export interface NextCheck extends CheckValue {
  /** What to do, as an imperative clause. */
  readonly todo: string;
  /** Set if its recording can be analyzed under this name: `analyze --setting`. */
  readonly setting?: string;
  readonly outcomes: readonly ExpectedOutcome[];
  /** Others that would pay, the best first. */
  readonly others: readonly CheckValue[];
}

/** A check that was done on a path, and what it showed. */
export interface CheckResult {
  readonly check: string;
  readonly outcome: CheckOutcome;
  /** Its source: `n12`, or a controls pass. */
  readonly source: string;
}
