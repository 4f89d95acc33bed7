import type { BenchStep } from "../../diagnose/bench.js";
import type { DangerId } from "../../diagnose/dangers.js";
import type { NotedPart } from "../../diagnose/notes/find-part.js";
import type { StoredReason } from "../../history/get-reason.js";
import type { RoundControl, RoundFinding } from "../../history/types.js";
import type { MeterLine } from "../meter/judge.js";
import type { MeterPoint, MeterRemark, MeterSaying } from "../meter/sayings.js";

/** A note as written, with its control and symptom. */
export interface NotedWords {
  readonly text: string;
  readonly control?: string;
  readonly symptom?: string;
}

/** The name of a piece of work. */
export type ItemName =
  /** The name of the cause. */
  | { readonly code: "cause"; readonly name: string }
  | { readonly code: "not-clear" }
  | { readonly code: "danger"; readonly dangers: readonly DangerId[] }
  /** Parts by their names, in one job. */
  | { readonly code: "off-value"; readonly parts: readonly string[] }
  /** A control that was noted. */
  | { readonly code: "noted-control"; readonly control: string }
  /** A control reported by a controls pass. */
  | ({ readonly code: "heard-control" } & Pick<RoundControl, "control" | "hand">)
  | ({ readonly code: "noted" } & NotedWords);

/** A voltage or part measured with a meter. */
export interface Metered {
  readonly note: string;
  readonly what: MeterLine["what"];
  /** Which resistor or capacitor; absent if not named. */
  readonly part?: string;
  readonly said: readonly MeterSaying[];
}

/** A fact about a piece of work. */
export type ItemFact =
  | {
      readonly code: "found";
      readonly path: string;
      readonly findings: readonly RoundFinding[];
    }
  | {
      /** A second play, in which a control changed nothing. */
      readonly code: "idle";
      readonly note: string;
      readonly check: string;
      /** As in the notebook. */
      readonly figures: readonly string[];
    }
  | {
      readonly code: "heard";
      readonly path: string;
      readonly pass: string;
      readonly report: RoundControl;
    }
  /** What a control's noises indicate, from its pass. */
  | { readonly code: "heard-points"; readonly points: string }
  | ({ readonly code: "metered" } & Metered)
  | { readonly code: "points-to"; readonly point: MeterPoint }
  | ({ readonly code: "noted"; readonly note: string; readonly date: string } & NotedWords);

/** The name of something that needs no opening. */
export type OutsideName =
  | ItemName
  /** A check that decides between causes, by their names. */
  | { readonly code: "is-it"; readonly causes: readonly string[] }
  | ({ readonly code: "not-measured" } & StoredReason)
  | ({ readonly code: "metered" } & Metered)
  | { readonly code: "rail-too-high" }
  | ({ readonly code: "of-note"; readonly note: string; readonly date: string } & NotedWords)
  /** A piece of work on a strip that the desk does not have. */
  | {
      readonly code: "of-no-strip";
      readonly name: ItemName;
      readonly says: readonly ItemFact[];
    };

/** What is to be done about it. */
export type OutsideTodo =
  /** The clause that confirms a cause, or of a check. */
  | { readonly code: "confirm"; readonly by: string }
  /** Steps with the desk in use. */
  | { readonly code: "try"; readonly steps: readonly BenchStep[] }
  | { readonly code: "record-again" }
  | {
      readonly code: "judge-first";
      /** Remarks on it. */
      readonly remarks: readonly MeterRemark[];
    }
  | { readonly code: "find-feed" }
  | { readonly code: "points-to"; readonly points: readonly MeterPoint[] }
  | ({ readonly code: "supply"; readonly points: readonly MeterPoint[] } & Metered)
  | ({
      readonly code: "repair-supply";
      readonly steps: readonly BenchStep[];
      readonly repair: string;
    } & Metered)
  /** First aid for a noted fault. */
  | { readonly code: "first-aid"; readonly text: string }
  | { readonly code: "name-it"; readonly note: string }
  /** A component named in a note: a meter reading of it adds it to the plan. */
  | {
      readonly code: "measure-part";
      readonly note: string;
      readonly place: string;
      readonly part: NotedPart;
    }
  | { readonly code: "correct-place"; readonly strip: string; readonly note: string }
  /** Power has to stay off for these notes. */
  | { readonly code: "power-off"; readonly notes: readonly string[] };

/** Why a piece of work is left for another opening, minutes. */
export interface WhyLeft {
  readonly takes: number;
  readonly left: number;
  /** Set if it is only to be watched. */
  readonly mayWait?: true;
}

/** The parts of a plan that are data until it is printed. */
export interface PlanTexts {
  readonly name: unknown;
  readonly fact: unknown;
  /** Absent if it must not be done while power has to stay off. */
  readonly settle: unknown;
  readonly outsideName: unknown;
  readonly todo: unknown;
  readonly why: unknown;
}

/** A plan as it is made. */
export interface PlanData extends PlanTexts {
  readonly name: ItemName;
  readonly fact: ItemFact;
  readonly settle: string | undefined;
  readonly outsideName: OutsideName;
  readonly todo: OutsideTodo;
  readonly why: WhyLeft;
}

/** A plan as it is printed: `report/plan` has the words. */
export interface PlanWords extends PlanTexts {
  readonly name: string;
  readonly fact: string;
  readonly settle: string;
  readonly outsideName: string;
  readonly todo: string;
  readonly why: string;
}
