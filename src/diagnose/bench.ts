import type { BenchToolId } from "./bench-tools.js";

/**
 * The state of power that a step needs. `in use`: desk closed, switched on, worked from outside;
 * `powered and open`: covers off and live, the strip in its place or on an extender; `unplugged`:
 * switched off, mains plug pulled, discharged; `bench`: the strip out of the desk, discharged and
 * without power.
 */
export type PowerState = "in use" | "powered and open" | "unplugged" | "bench";

/** In the order in which they occur when a desk is opened. */
export const powerStates: readonly PowerState[] = [
  "in use",
  "powered and open",
  "unplugged",
  "bench",
];

/** Something to do, and what can hurt while it is done. */
export interface BenchStep {
  readonly power: PowerState;
  /** In the imperative, without a full stop at the end: a danger may follow it. */
  readonly text: string;
  readonly danger?: string;
  /** What to have ready for it besides parts; absent if hands and eyes are enough. */
  readonly needs?: readonly BenchToolId[];
}

/** A kind of part that a repair may need; its value depends on the desk. */
export type PartRole =
  | "coupling capacitor"
  | "gain leg capacitor"
  | "decoupling capacitor"
  | "small capacitor"
  | "op amp"
  | "input device"
  | "resistor"
  | "feed resistor pair"
  | "control"
  | "switch"
  | "socket"
  | "fuse"
  | "bias parts"
  | "ribbon cable"
  | "lamp"
  | "contact cleaner";

export interface PartNeed {
  readonly role: PartRole;
  readonly count: number;
}

/** What a cause needs at the bench. */
export interface BenchRecord {
  /** What to do and where to look, in order; the check that confirms the cause comes first. */
  readonly steps: readonly BenchStep[];
  /** What to repair or replace, unplugged or on the bench. */
  readonly repair: string;
  readonly parts: readonly PartNeed[];
  /** Minutes at the bench with the strip out, test included. */
  readonly minutes: number;
  /** What can hurt a person or the desk during the repair. */
  readonly risks: readonly string[];
  /** `supply`: nothing on the strip is to be replaced, the fault is in what feeds every strip. */
  readonly place?: "strip" | "supply";
  /** Where the facts come from. */
  readonly source: string;
}

export const commonPractice = "common practice, no source";
/** Phantom supplies: voltages, currents, feed resistors and their matching. */
export const phantomStandard = "IEC 61938 (from memory); the rest common practice, no source";

/** Shown at every step under power. */
export const liveDanger =
  "live: work with one hand and an insulated probe, and leave all covers over mains and supply parts in place; leave supply and mains work to licensed people, under local codes";

type Needs = readonly BenchToolId[];

/**
 * A step with the desk closed, as in use.
 *
 * @example
 * inUse("turn the pan"); // { power: "in use", text: "turn the pan" }
 */
export function inUse(text: string, danger?: string, needs?: Needs): BenchStep {
  return createStep("in use", text, danger, needs);
}

/**
 * A step with the strip open and under power: it always has the caution.
 *
 * @example
 * powered("measure the rail").power; // "powered and open"
 * powered("measure the rail").danger === liveDanger; // true
 */
export function powered(text: string, needs?: Needs): BenchStep {
  return createStep("powered and open", text, liveDanger, needs);
}

/**
 * A step with the mains plug pulled.
 *
 * @example
 * unplugged("reseat the ribbon"); // { power: "unplugged", text: "reseat the ribbon" }
 */
export function unplugged(text: string, danger?: string, needs?: Needs): BenchStep {
  return createStep("unplugged", text, danger, needs);
}

/**
 * A step with the strip out of the desk.
 *
 * @example
 * onBench("replace C3", "mind the track").power; // "bench"
 */
export function onBench(text: string, danger?: string, needs?: Needs): BenchStep {
  return createStep("bench", text, danger, needs);
}

function createStep(power: PowerState, text: string, danger?: string, needs?: Needs): BenchStep {
  return {
    power,
    text,
    ...(danger === undefined ? {} : { danger }),
    ...(needs === undefined ? {} : { needs }),
  };
}

// Risks that many repairs share, one clause each (common practice, no source).
export const solderingRisk: readonly string[] = [
  "discharge yourself to the frame first",
  "heat joints only briefly: too much heat lifts the tracks",
];
export const polarityRisk: readonly string[] = [
  "fit electrolytics the right way round: a reversed one can burst",
];
export const cleanerRisk: readonly string[] = [
  "use little cleaner, work it in, and let it dry before you switch power on",
  "cleaner that leaves oil ruins conductive plastic",
];
export const earthRisk: readonly string[] = [
  "never lift a protective earth to get rid of hum",
  "put power and earth leads back exactly where they were",
];

/**
 * Risks by what causes them, so that the bench book can print each once. Those of earth leads are
 * printed with each cause, so that nobody has to look them up.
 */
export const sharedRisks: Readonly<Record<string, readonly string[]>> = {
  soldering: solderingRisk,
  electrolytics: polarityRisk,
  "contact cleaner": cleanerRisk,
};
