import type { Incomparable } from "../../history/compare/incomparable.js";
import type { ReferenceSide } from "../../history/compare/reference-side.js";
import type { Condition } from "../../history/condition.js";
import type { RoundFinding, RoundShared } from "../../history/types.js";
import type { MeterSaying } from "../meter/sayings.js";
import type { OpenDanger } from "../notebook/open-dangers.js";
import type { StillOff } from "../notebook/opening.js";
import type { ItemName } from "../plan/plan-data.js";
import type { RetestFigure } from "./figures.js";
import type { SumOutcome } from "./sum-outcome.js";

/**
 * Outcome of an item of the plan. `cannot tell`: the reading that would show it is hidden or
 * missing.
 */
export type Outcome =
  | "mended"
  | "better"
  | "unchanged"
  | "worse"
  | "new fault"
  | "cannot tell"
  | "not shown";

/** One item of the plan, with its outcome. */
export interface RetestItem {
  readonly key: string;
  readonly strip: string;
  readonly cause: string;
  readonly name: ItemName;
  /** Paths on which a round showed it; none if it was only noted. */
  readonly paths: readonly string[];
  readonly outcome: Outcome;
  /** Then and now. */
  readonly figures: readonly RetestFigure[];
  /** Notes proved repaired with it. */
  readonly closes: readonly string[];
  /** Notes about it that a measurement cannot prove: they stay open. */
  readonly staysOpen: readonly string[];
}

/** A common change of re-tested paths since the round of the plan. */
export interface SharedChange {
  /** Reading id, or the curve's. */
  readonly reading: string;
  readonly families: readonly string[];
  /** Number of paths with it. */
  readonly paths: number;
  /** Now minus then. */
  readonly change: number;
  /** Expanded, 95 %. */
  readonly uncertainty: number;
  readonly unit: string;
  /** The largest change for the worse with which a desk may be closed. */
  readonly bound: number;
  /** Frequency of a curve where it is largest, Hz; absent for a reading. */
  readonly atHz?: number;
  /**
   * `against-level`: the change of the level is subtracted, since without a calibration the
   * interface's setting changes both.
   */
  readonly scale: "absolute" | "against-level";
  /** Against the bound: within it, beyond it, or beyond it by less than the uncertainty. */
  readonly standing: "within" | "beyond" | "unsure";
  /** Whether the reference path changed equally; absent if the rounds do not both have one. */
  readonly reference?: ReferenceSide;
}

/** A shared fault of the earlier round, with its outcome. */
export interface SharedOutcome {
  readonly fault: RoundShared;
  readonly outcome: Outcome;
  /** Its difference in the earlier round, and now; unit of its first finding. */
  readonly difference?: number;
  readonly left?: number;
}

/** A reading of one path that got worse. */
export interface WorseReading {
  readonly reading: string;
  readonly finding: RoundFinding;
}

/** Why a desk should not be closed, or why that cannot be decided. */
export type GateReason =
  | {
      /** A path of a strip that nobody worked on. */
      readonly code: "neighbour-worse";
      readonly path: string;
      readonly readings: readonly WorseReading[];
      /** For an item of the plan that got worse although its strip was not worked on. */
      readonly figures?: readonly RetestFigure[];
    }
  | { readonly code: "shared-worse"; readonly change: SharedChange }
  | {
      /** A shared fault that is new in the re-test. */
      readonly code: "shared-fault";
      readonly fault: RoundShared;
    }
  | {
      /** A shared fault of the earlier round is still there. */
      readonly code: "shared-not-mended";
      readonly shared: SharedOutcome;
    }
  | {
      readonly code: "new-fault";
      readonly path: string;
      readonly readings: readonly WorseReading[];
    }
  | {
      readonly code: "not-mended";
      readonly item: string;
      readonly strip: string;
      readonly name: ItemName;
      readonly outcome: Outcome;
    }
  | {
      /** Noted as taken off the desk but not as put back. */
      readonly code: "taken-off";
      readonly note: string;
      readonly place: string;
      readonly what: string;
      /** Set for a connector that is still unplugged. */
      readonly unplugged?: true;
      /** Set if it is back, but not all of its fixings are counted. */
      readonly fixing?: StillOff["fixing"];
    }
  | {
      /** An open note mentions a danger. */
      readonly code: "danger-open";
      readonly danger: OpenDanger;
    }
  | { readonly code: "shared-unsure"; readonly change: SharedChange }
  | {
      /** `sum-worse`: the sum of strips open at once is too high. */
      readonly code: "sum-worse" | "sum-unsure";
      readonly sum: SumOutcome;
    }
  | {
      /** The level changed during the re-test at an unknown time. */
      readonly code: "level-drifted";
      /** Last minus first, decibels. */
      readonly changeDb: number;
    }
  | {
      /** It is not known whether a shared part is repaired. */
      readonly code: "shared-unclear";
      readonly shared: SharedOutcome;
    }
  | {
      /** Which path each return belongs to is in doubt. */
      readonly code: "order-doubt";
    }
  | {
      readonly code: "not-measured";
      readonly strips: "touched" | "neighbours";
      readonly paths: readonly string[];
    }
  | {
      readonly code: "not-comparable";
      readonly reading: string;
      readonly families: readonly string[];
      readonly because: Incomparable | { readonly code: "not-read-now" };
    }
  | {
      readonly code: "item-unclear";
      readonly item: string;
      readonly strip: string;
      readonly name: ItemName;
    }
  | {
      readonly code: "note-unanswered";
      readonly note: string;
      readonly strip: string;
    }
  | {
      /** A fault of a section worked on that no strip's measurement can show. */
      readonly code: "section-unanswered";
      readonly note: string;
      readonly section: string;
    }
  | {
      /** A meter reading at a section worked on is still out of range. */
      readonly code: "section-out";
      readonly note: string;
      readonly section: string;
      readonly said: readonly MeterSaying[];
    };

export type GateVerdict = "close" | "do-not-close" | "cannot-tell";

/** Whether the desk can be closed. */
export interface RetestGate {
  readonly verdict: GateVerdict;
  /** Reasons against it, the most serious first; none if it can be closed. */
  readonly reasons: readonly GateReason[];
}

/** A re-test compared with the round that raised the items. */
export interface Retest {
  readonly format: "deskround-retest";
  readonly version: 1;
  readonly desk: string;
  readonly round: string;
  readonly date: string;
  readonly against: string;
  readonly gate: RetestGate;
  /** Strips that were worked on. */
  readonly touched: readonly string[];
  readonly items: readonly RetestItem[];
  /** Common changes of the re-tested paths, within the bounds or not. */
  readonly shared: readonly SharedChange[];
  /** Shared faults of the earlier round; absent if none was concerned. */
  readonly sharedFaults?: readonly SharedOutcome[];
  /** Sums of strips open at once; absent if each was measured alone. */
  readonly sums?: readonly SumOutcome[];
  /** Paths measured. */
  readonly measured: number;
  /** Paths that could not be judged. */
  readonly unmeasured: readonly string[];
  /** Differences in how both rounds were made. */
  readonly conditions: readonly Condition[];
}
