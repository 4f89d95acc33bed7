import type { BenchStep } from "../../diagnose/bench.js";
import type { DangerId } from "../../diagnose/dangers.js";
import type { NotedPart } from "../../diagnose/notes/find-part.js";
import type { StoredReason } from "../../history/get-reason.js";
import type { RoundControl, RoundFinding } from "../../history/types.js";
import type { MeterLine } from "../meter/judge.js";
import type { MeterPoint, MeterRemark, MeterSaying } from "../meter/sayings.js";

/** A note in the words of whoever wrote it, with what it was tagged with. */
export interface NotedWords {
  readonly text: string;
  readonly control?: string;
  readonly symptom?: string;
}

/** What a piece of work is called. */
export type ItemName =
  /** As the cause is called. */
  | { readonly code: "cause"; readonly name: string }
  | { readonly code: "not-clear" }
  | { readonly code: "danger"; readonly dangers: readonly DangerId[] }
  /** Parts by their names, in one job. */
  | { readonly code: "off-value"; readonly parts: readonly string[] }
  /** A control that was noted. */
  | { readonly code: "noted-control"; readonly control: string }
  /** A control that a controls pass has heard. */
  | ({ readonly code: "heard-control" } & Pick<RoundControl, "control" | "hand">)
  | ({ readonly code: "noted" } & NotedWords);

/** A voltage or a part as it was measured by hand. */
export interface Metered {
  readonly note: string;
  readonly what: MeterLine["what"];
  /** Which resistor or capacitor; absent where it was not named. */
  readonly part?: string;
  readonly said: readonly MeterSaying[];
}

/** What is known of a piece of work. */
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
      /** As the notebook has them. */
      readonly figures: readonly string[];
    }
  | {
      readonly code: "heard";
      readonly path: string;
      readonly pass: string;
      readonly report: RoundControl;
    }
  /** What a control's noises point to, as its pass has it. */
  | { readonly code: "heard-points"; readonly points: string }
  | ({ readonly code: "metered" } & Metered)
  | { readonly code: "points-to"; readonly point: MeterPoint }
  | ({ readonly code: "noted"; readonly note: string; readonly date: string } & NotedWords);

/** What something that needs no opening is called. */
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
  /** The clause that settles a cause, or a check's. */
  | { readonly code: "confirm"; readonly by: string }
  /** Steps that are done with the desk in use. */
  | { readonly code: "try"; readonly steps: readonly BenchStep[] }
  | { readonly code: "record-again" }
  | {
      readonly code: "judge-first";
      /** What is odd about it all the same. */
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
  /** What is done first about what was noted. */
  | { readonly code: "first-aid"; readonly text: string }
  | { readonly code: "name-it"; readonly note: string }
  /** A part that a note names at a place: its reading puts it on the plan. */
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
  /** It is only to be watched. */
  readonly mayWait?: true;
}

/** What of a plan is data until it is printed. */
export interface PlanTexts {
  readonly name: unknown;
  readonly fact: unknown;
  /** Absent where it is not to be done while power has to stay off. */
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
