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
import type { Untold } from "./list-untold.js";
import type { PlanData, PlanTexts } from "./plan-data.js";

/** Boards of the strip on which an item's cause can be. */
export interface ItemBoards {
  /** In signal order; none for a lamp or meter that the book does not place. */
  readonly names: readonly string[];
  /** Possible stages; none if a control gives the board, or nothing does. */
  readonly stages: readonly string[];
}

/** One piece of work on one strip. */
export interface PlanItem<T extends PlanTexts = PlanData> extends RepairOption {
  /** Stable for a strip and a cause: `6 phantom-supply-off`. */
  readonly key: string;
  /** Kind of section, if it is one; `strip` is then its name. */
  readonly sectionKind?: SectionKind;
  /** Inputs it was seen on; none if it belongs to the strip. */
  readonly inputs: readonly string[];
  readonly cause: string;
  readonly name: T["name"];
  readonly urgency: "service" | "watch" | "noted";
  readonly probability?: number;
  /** Facts about it: findings, notes, meter readings. */
  readonly says: readonly T["fact"][];
  readonly where?: string;
  /** What to do and where to look, including the confirming check, by state of power. */
  readonly steps: readonly BenchStep[];
  /** Where to look once the desk is open, in words. */
  readonly look: string;
  readonly replace: string;
  /** The check that confirms it. */
  readonly settle: T["settle"];
  /** Dangers to people or the desk, one clause each. */
  readonly risks: readonly string[];
  /** What to try before anything is opened: the steps in use, in words. */
  readonly before?: string;
  readonly parts: readonly PartNeed[];
  /** Parts known exactly: "R14 6.8 kΩ". */
  readonly named: readonly string[];
  /** The same as data; absent if there are none. */
  readonly namedParts?: readonly MeteredPart[];
  /** Paths of the round that raised it. */
  readonly paths: readonly string[];
  /** Notes that raised it or speak of it. */
  readonly notes: readonly string[];
  /** Boards that it can be on, if the desk has a strip-down book. */
  readonly boards?: ItemBoards;
}

/** Something that needs no opening. */
export interface OutsideItem<T extends PlanTexts = PlanData> {
  /** `7/mic`, `7`, or `desk`. */
  readonly place: string;
  /** The paths concerned, if several of a strip ask about the same control. */
  readonly paths?: readonly string[];
  readonly name: T["outsideName"];
  readonly todo: T["todo"];
  readonly kind: "setting" | "patch" | "record again" | "try first" | "look at" | "desk";
  /** Tools needed; absent if none. */
  readonly needs?: readonly BenchToolId[];
  /** The check and its usefulness; absent for other items. */
  readonly next?: NextCheck;
  /** Set for a meter voltage that is out of range, or cannot be judged. */
  readonly measured?: "out" | "unjudged";
}

/** A strip of the opening, in order. */
export interface PlanStrip<T extends PlanTexts = PlanData> {
  readonly kind: "strip";
  readonly strip: string;
  /** Minutes to take it out and put it back; 0 for one that comes out with its card. */
  readonly pullMinutes: number;
  /** Boards that come out, in order, if the desk has a strip-down book. */
  readonly boards?: readonly string[];
  /** The card it comes out with, and the strip at whose turn that is done. */
  readonly freeWith?: { readonly card: string; readonly strip: string };
  readonly items: readonly PlanItem<T>[];
  readonly testMinutes: number;
  /** Open notes of a danger for which it must not be powered; absent if none. */
  readonly offFor?: readonly string[];
  /** When its electrolytics come due, if known. */
  readonly ageing?: CapacitorLife;
}

/** Work at a section: before any strip, since it may explain their faults. */
export interface PlanPlace<T extends PlanTexts = PlanData> {
  /** `PSU A`, `group 3`. */
  readonly section: string;
  readonly kind: SectionKind;
  readonly items: readonly PlanItem<T>[];
  /** Its boards, by the strip-down book, in order of removal; absent if the book has none. */
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
  /** Additional ones, because parts get lost or damaged. */
  readonly spare: number;
  readonly strips: readonly string[];
  /** Sections it is for; absent if there are none. */
  readonly sections?: readonly string[];
  /** Kind, value and voltage; absent if they can only be read off the part itself. */
  readonly spec?: PartSpec;
  /** Set if one of it serves all strips: nothing to solder. */
  readonly isConsumable?: true;
  /** How closely the parts of a pair must match, per cent; absent if it is not a pair. */
  readonly pairPercent?: number;
  /** Stock reserved for it; absent if no stores are kept. */
  readonly stores?: Reservation;
}

export interface LeftItem<T extends PlanTexts = PlanData> {
  readonly item: PlanItem<T>;
  readonly why: T["why"];
}

/**
 * A phase of an opening with one state of power. `outside`: work that needs no opening; `open`:
 * covers off; `inside`: measured under power; `strips`: taken out and repaired, or boards of the
 * rest of the desk if no strip comes out; `try`: measured again before it is closed; `close`;
 * `use`: the first hour.
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
  /** All strips of the desk, in order. */
  readonly strips: readonly string[];
  /** YYYY-MM-DD. */
  readonly date: string;
  /** Round it is based on; null if only on the notebook. */
  readonly round: string | null;
  /** Paths whose sum is too high without knowing which is at fault; absent if none. */
  readonly loudTogether?: readonly (readonly string[])[];
  /** Findings of later partial rounds that are not in the plan; absent if none. */
  readonly notPlanned?: readonly NotPlanned[];
  /** What the plan's sources leave open; absent if nothing. */
  readonly untold?: readonly Untold[];
  /** Controls passes that raised an item. */
  readonly passes: readonly string[];
  readonly openNotes: number;
  /** Hours available; null if everything is planned. */
  readonly hours: number | null;
  readonly minutes: number;
  readonly openMinutes: number;
  /** Dangers to people, shown before everything else; absent if none. */
  readonly dangers?: readonly OpenDanger[];
  readonly cautions: readonly string[];
  /** What several strips have in common, in words. */
  readonly remarks: readonly string[];
  /** Jobs at shared parts, before any strip; absent if none. */
  readonly shared?: readonly RoundShared[];
  readonly outside: readonly OutsideItem<T>[];
  /** Sections before strips, the supplies first; absent if there are none. */
  readonly places?: readonly PlanPlace<T>[];
  readonly steps: readonly (PlanOff | PlanStrip<T>)[];
  readonly left: readonly LeftItem<T>[];
  readonly parts: readonly PlanPart[];
  /** Tools needed besides parts. */
  readonly tools: readonly BenchToolId[];
  /** How the desk is opened, by its strip-down book. */
  readonly opening?: TakeOff;
  /** Boards that come out, with their strips; absent without a strip-down book. */
  readonly boards?: readonly StripDownBoard[];
  /** The work in order, by state of power. */
  readonly phases: readonly PlanPhase[];
  readonly ageing: readonly CapacitorLife[];
}
