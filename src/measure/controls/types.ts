import type { ControlAction } from "../../signal/types.js";

/** Something that a control did while it was moved; times in seconds of the signal. */
export interface ControlEvent {
  /**
   * `scratch`: a crackle; `dropout`: the tone broke off and came back faster than a hand moves;
   * `jump`: it went to another level as fast, and stayed; `rustle`: noise beyond what the control
   * can turn up.
   */
  readonly kind: "scratch" | "dropout" | "jump" | "rustle";
  readonly during: "tone" | "silence";
  readonly atS: number;
  readonly lengthS: number;
  /**
   * Scratch and rustle: their peak against the tone at its mark, decibels; dropout and jump: by how
   * much the level changed, decibels, negative downwards, −60 at the most.
   */
  readonly levelDb: number;
}

export type ControlVerdict = "sound" | "scratchy" | "drops out" | "jumps";

/** What was heard of one control. */
export interface ControlReport {
  readonly control: string;
  readonly hand: ControlAction;
  /** When it was to be moved, seconds of the signal. */
  readonly fromS: number;
  readonly untilS: number;
  /** Whether the level shows that it was moved; many controls do not change it at 1 kHz. */
  readonly moved: "seen" | "not seen";
  /** From the lowest to the highest level under the tone, decibels; 60 at the most. */
  readonly rangeDb: number;
  readonly scratches: { readonly tone: number; readonly silence: number };
  readonly dropouts: number;
  readonly jumps: number;
  /** How many scratches chance and background would give in as long a time. */
  readonly expected: number;
  /** Worst first; scratches in the same breath are one. */
  readonly events: readonly ControlEvent[];
  /** The worst of what is wrong first; `sound` alone. */
  readonly verdicts: readonly ControlVerdict[];
  /** What that points to; absent when sound, and in rounds made before it was kept. */
  readonly wear?: ControlWear;
}

/**
 * What a control that is not sound points to; worded in `report/controls`. `leak`: it crackles
 * without a signal, so DC voltage lies on it; `contact`: of a switch; `track`: of a knob or a
 * fader.
 */
export type ControlWear = "leak" | "contact" | "track";
