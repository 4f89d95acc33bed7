import type { DeskPart } from "../../desk/construction.js";
import type { SectionKind } from "../../desk/section-kinds.js";
import type { StripDownBoard, TakeOff } from "../../desk/strip-down/types.js";
import type { BenchStep, PartNeed, PowerState } from "../../diagnose/bench.js";
import type { BenchToolId } from "../../diagnose/bench-tools.js";
import type { NextCheck } from "../../diagnose/checks/types.js";
import type { RoundShared } from "../../history/types.js";
import type { OpenDanger } from "../notebook/open-dangers.js";
import type { Reservation } from "../stores/ledger.js";
import type { PartSpec } from "../stores/part-spec.js";
import type { CapacitorLife } from "./ageing.js";
import type { RepairOption } from "./choose.js";
import type { NotPlanned } from "./list-not-planned.js";
import type { PlanData, PlanTexts } from "./plan-data.js";

/** Where on the strip an item's cause can sit. */
export interface ItemBoards {
  /** In the order of the signal; none where the book does not say where a lamp or a meter sits. */
  readonly names: readonly string[];
  /** Stages in question; none where a control names the board, or nothing does. */
  readonly stages: readonly string[];
}

/** One piece of work on one strip. */
export interface PlanItem<T extends PlanTexts = PlanData> extends RepairOption {
  /** Stable for a strip and a cause: `6 phantom-supply-off`. */
  readonly key: string;
  /** Of a section: what it is; `strip` is its name then. */
  readonly sectionKind?: SectionKind;
  /** Inputs it was seen on; none where it belongs to the strip. */
  readonly inputs: readonly string[];
  readonly cause: string;
  readonly name: T["name"];
  readonly urgency: "service" | "watch" | "noted";
  readonly probability?: number;
  /** What is known of it: what the round found, notes, meter readings. */
  readonly says: readonly T["fact"][];
  readonly where?: string;
  /** What to do and where to look, the check that settles it included, by state of power. */
  readonly steps: readonly BenchStep[];
  /** Where to look once the desk is open, in words. */
  readonly look: string;
  readonly replace: string;
  /** The check that settles it. */
  readonly settle: T["settle"];
  /** What can hurt a person or the desk, a clause each. */
  readonly risks: readonly string[];
  /** What to try before anything is opened: the steps in use, in words. */
  readonly before?: string;
  readonly parts: readonly PartNeed[];
  /** Parts that are known to the letter: "R14 6.8 kΩ". */
  readonly named: readonly string[];
  /** The same as data; absent if there are none. */
  readonly namedParts?: readonly MeteredPart[];
  /** Paths of the round that raised it. */
  readonly paths: readonly string[];
  /** Notes that raised it or speak of it. */
  readonly notes: readonly string[];
  /** Boards that it sits on, where the desk has a strip-down book. */
  readonly boards?: ItemBoards;
}

/** Something that needs no opening. */
export interface OutsideItem<T extends PlanTexts = PlanData> {
  /** `7/mic`, `7`, or `desk`. */
  readonly place: string;
  /** The paths that it is asked for, where several of a strip ask the same of one control. */
  readonly paths?: readonly string[];
  readonly name: T["outsideName"];
  readonly todo: T["todo"];
  readonly kind: "setting" | "patch" | "record again" | "try first" | "look at" | "desk";
  /** What it needs to have ready; absent where nothing. */
  readonly needs?: readonly BenchToolId[];
  /** The check that it is, and what it is worth; absent for all else. */
  readonly next?: NextCheck;
  /** Of a voltage read by hand that is out of its range, or that nobody can judge. */
  readonly measured?: "out" | "unjudged";
}

/** A strip of the opening, in its turn. */
export interface PlanStrip<T extends PlanTexts = PlanData> {
  readonly kind: "strip";
  readonly strip: string;
  /** Minutes to take it out and put it back; 0 for one that comes out with its card. */
  readonly pullMinutes: number;
  /** Boards that come out, in their order, where the desk has a strip-down book. */
  readonly boards?: readonly string[];
  /** Card it comes out with, and the strip in whose turn that was done. */
  readonly freeWith?: { readonly card: string; readonly strip: string };
  readonly items: readonly PlanItem<T>[];
  readonly testMinutes: number;
  /** Open notes of a danger for which it is not to be powered; absent if there are none. */
  readonly offFor?: readonly string[];
  /** When its electrolytics come due, where that is known. */
  readonly ageing?: CapacitorLife;
}

/** What is to be done at a section: before any strip, as it may explain what they show. */
export interface PlanPlace<T extends PlanTexts = PlanData> {
  /** `PSU A`, `group 3`. */
  readonly section: string;
  readonly kind: SectionKind;
  readonly items: readonly PlanItem<T>[];
  /** Its boards, by the strip-down book, in the order in which they come out; absent where the book has none. */
  readonly boards?: readonly StripDownBoard[];
}

/** Something to take off first. */
export interface PlanOff {
  readonly kind: "off";
  readonly part: DeskPart;
}

/** A part that a meter reading names, and the value to put in. */
export interface MeteredPart {
  readonly part: string;
  readonly value: string;
}

/** A part to have on the bench. */
export interface PlanPart {
  readonly what: string;
  /** Value, or how to know it. */
  readonly value: string;
  readonly count: number;
  /** On top, as parts get lost or damaged. */
  readonly spare: number;
  readonly strips: readonly string[];
  /** Sections it is for; absent if there are none. */
  readonly sections?: readonly string[];
  /** Kind, value and volts; absent where they can only be read off the part itself. */
  readonly spec?: PartSpec;
  /** Set where one of it serves all strips: nothing is soldered in. */
  readonly isConsumable?: true;
  /** How well the parts of a pair must match, per cent; absent where it is no pair. */
  readonly pairPercent?: number;
  /** What the stores hold of it; absent where no stores are kept. */
  readonly stores?: Reservation;
}

export interface LeftItem<T extends PlanTexts = PlanData> {
  readonly item: PlanItem<T>;
  readonly why: T["why"];
}

/**
 * A stretch of an opening in one state of power.
 *
 * `outside`: what needs no opening; `open`: covers off; `inside`: measured under power; `strips`:
 * taken out and repaired, or boards of the rest of the desk where no strip comes out; `try`: measured again before it is closed; `close`; `use`: the first hour.
 */
export interface PlanPhase {
  readonly id: "outside" | "open" | "inside" | "strips" | "try" | "close" | "use";
  readonly power: Exclude<PowerState, "bench">;
}

/** What to do at the next opening of a desk. */
export interface Plan<T extends PlanTexts = PlanData> {
  readonly format: "deskround-plan";
  readonly version: 1;
  readonly desk: string;
  /** All of the desk, in its order. */
  readonly strips: readonly string[];
  /** YYYY-MM-DD. */
  readonly date: string;
  /** Round it stands on; null where the notebook alone speaks. */
  readonly round: string | null;
  /** Paths that are too loud together, of which nobody knows yet which it is; absent where none. */
  readonly loudTogether?: readonly (readonly string[])[];
  /** What rounds of some paths show since, and the plan does not hold; absent where nothing. */
  readonly notPlanned?: readonly NotPlanned[];
  /** Controls passes that raised an item. */
  readonly passes: readonly string[];
  readonly openNotes: number;
  /** Hours at hand; null where everything is planned. */
  readonly hours: number | null;
  readonly minutes: number;
  readonly openMinutes: number;
  /** What can hurt somebody: it comes before all else; absent where nothing does. */
  readonly dangers?: readonly OpenDanger[];
  readonly cautions: readonly string[];
  /** What several strips have in common, in words. */
  readonly remarks: readonly string[];
  /** Jobs at what several paths share, before any strip; absent if there are none. */
  readonly shared?: readonly RoundShared[];
  readonly outside: readonly OutsideItem<T>[];
  /** Sections before strips, the supplies first; absent if there are none. */
  readonly places?: readonly PlanPlace<T>[];
  readonly steps: readonly (PlanOff | PlanStrip<T>)[];
  readonly left: readonly LeftItem<T>[];
  readonly parts: readonly PlanPart[];
  /** What the steps need besides parts. */
  readonly tools: readonly BenchToolId[];
  /** How the desk is opened, by its strip-down book. */
  readonly opening?: TakeOff;
  /** Boards that come out, with the strips whose they are; absent without a strip-down book. */
  readonly boards?: readonly StripDownBoard[];
  /** The work in its order, by the state of power that it needs. */
  readonly phases: readonly PlanPhase[];
  readonly ageing: readonly CapacitorLife[];
}
