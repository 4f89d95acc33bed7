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

/** What became of one item of the plan. `cannot tell`: what would show it is hidden or missing. */
export type Outcome =
  | "mended"
  | "better"
  | "unchanged"
  | "worse"
  | "new fault"
  | "cannot tell"
  | "not shown";

/** One item of the plan, as the re-test shows it. */
export interface RetestItem {
  readonly key: string;
  readonly strip: string;
  readonly cause: string;
  readonly name: ItemName;
  /** Paths on which a round showed it; none where it was noted alone. */
  readonly paths: readonly string[];
  readonly outcome: Outcome;
  /** Then and now. */
  readonly figures: readonly RetestFigure[];
  /** Notes that are proven repaired with it. */
  readonly closes: readonly string[];
  /** Notes that speak of it and that a measurement cannot prove: they stay open. */
  readonly staysOpen: readonly string[];
}

/** What re-tested paths of a family did in common since the round that raised the items. */
export interface SharedChange {
  /** Reading id, or the curve's. */
  readonly reading: string;
  readonly families: readonly string[];
  /** Paths that it was found on. */
  readonly paths: number;
  /** Now minus then. */
  readonly change: number;
  /** Expanded, 95 %. */
  readonly uncertainty: number;
  readonly unit: string;
  /** The largest change for the worse with which a desk may be closed. */
  readonly bound: number;
  /** Where on a curve it is largest, Hz; absent for a reading. */
  readonly atHz?: number;
  /**
   * `against-level`: the change of the level is taken off, since without a calibration the
   * interface's setting moves both.
   */
  readonly scale: "absolute" | "against-level";
  /** Against the bound: within it, beyond it, or beyond it by less than the uncertainty. */
  readonly standing: "within" | "beyond" | "unsure";
  /** Whether the reference path changed alike; absent where both rounds have no such path. */
  readonly reference?: ReferenceSide;
}

/** A fault of a shared part that the earlier round named, as the re-test shows it. */
export interface SharedOutcome {
  readonly fault: RoundShared;
  readonly outcome: Outcome;
  /** What it showed in the earlier round, and what is left of that; unit of its first finding. */
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
      /** Of an item of the plan that got worse, though nobody worked on its strip. */
      readonly figures?: readonly RetestFigure[];
    }
  | { readonly code: "shared-worse"; readonly change: SharedChange }
  | {
      /** A shared part of the re-test that is faulty, and was not before. */
      readonly code: "shared-fault";
      readonly fault: RoundShared;
    }
  | {
      /** A fault of a shared part that the earlier round named is still there. */
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
      /** Noted as taken off the desk, and not as put back. */
      readonly code: "taken-off";
      readonly note: string;
      readonly place: string;
      readonly what: string;
      /** Set for a connector that is not plugged in again. */
      readonly unplugged?: true;
      /** Set for what is back without all of its fixings counted. */
      readonly fixing?: StillOff["fixing"];
    }
  | {
      /** An open note speaks of a danger. */
      readonly code: "danger-open";
      readonly danger: OpenDanger;
    }
  | { readonly code: "shared-unsure"; readonly change: SharedChange }
  | {
      /** `sum-worse`: strips that were open at once have too much together. */
      readonly code: "sum-worse" | "sum-unsure";
      readonly sum: SumOutcome;
    }
  | {
      /** The level changed while the re-test was recorded, and nobody knows when. */
      readonly code: "level-drifted";
      /** Last minus first, decibels. */
      readonly changeDb: number;
    }
  | {
      /** Nothing shows whether a shared part is in order again. */
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
      /** Of a section that was worked on: a fault that no strip's measurement shows. */
      readonly code: "section-unanswered";
      readonly note: string;
      readonly section: string;
    }
  | {
      /** A meter reading at a section that was worked on is out of its range still. */
      readonly code: "section-out";
      readonly note: string;
      readonly section: string;
      readonly said: readonly MeterSaying[];
    };

export type GateVerdict = "close" | "do-not-close" | "cannot-tell";

/** Whether the desk can be closed. */
export interface RetestGate {
  readonly verdict: GateVerdict;
  /** What speaks against it, the gravest first; none where it can be closed. */
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
  /** What the re-tested paths did in common, within the bounds or not. */
  readonly shared: readonly SharedChange[];
  /** Faults of shared parts that the earlier round named; absent where none was concerned. */
  readonly sharedFaults?: readonly SharedOutcome[];
  /** What strips gave that were open at once; absent where each was heard alone. */
  readonly sums?: readonly SumOutcome[];
  /** Paths measured. */
  readonly measured: number;
  /** Paths that gave nothing that can be judged. */
  readonly unmeasured: readonly string[];
  /** What differed in how both rounds were made. */
  readonly conditions: readonly Condition[];
}
