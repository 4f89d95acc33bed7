import type { PowerState } from "../bench.js";
import type { CheckOutcome } from "./check-kinds.js";

/** How likely a check comes out so, and what the causes would be then, the likeliest first. */
export interface ExpectedOutcome {
  readonly outcome: CheckOutcome;
  /** As a clause. */
  readonly words: string;
  /** 0 to 1. */
  readonly probability: number;
  readonly causes: readonly { readonly cause: string; readonly probability: number }[];
}

/** What a check is worth before it is done. */
export interface CheckValue {
  /** Id of the check, or `settle:` and the cause that it settles once the desk is open. */
  readonly check: string;
  readonly power: PowerState;
  /** What it takes, the opening included where it needs one. */
  readonly minutes: number;
  /** Minutes of search and repair that it is expected to save, its own not taken off. */
  readonly savesMinutes: number;
  /** The same for each minute of its own. */
  readonly gainPerMinute: number;
  /** Expected information about the causes, bits. */
  readonly bits: number;
}

/** The check that is cheapest for what it decides. */
export interface NextCheck extends CheckValue {
  /** What is done, as a clause in the imperative. */
  readonly todo: string;
  /** Set where its recording can be analyzed under this name: `analyze --setting`. */
  readonly setting?: string;
  readonly outcomes: readonly ExpectedOutcome[];
  /** The others that would pay, the best first. */
  readonly others: readonly CheckValue[];
}

/** A check that was done: what it showed of a path. */
export interface CheckResult {
  readonly check: string;
  readonly outcome: CheckOutcome;
  /** Where it is written: `n12`, or a controls pass. */
  readonly source: string;
}
