import type { ControlAction } from "../../signal/types.js";

/** Something that a control did while it was moved; times in seconds of the signal. */
export interface ControlEvent {
  /**
   * `scratch`: a crackle; `dropout`: the tone broke off and came back faster than a hand moves;
   * `jump`: it changed to another level as fast, and stayed; `rustle`: more noise than the control
   * can turn up.
   */
  readonly kind: "scratch" | "dropout" | "jump" | "rustle";
  readonly during: "tone" | "silence";
  readonly atS: number;
  readonly lengthS: number;
  /**
   * Scratch and rustle: peak relative to the tone with the control at its mark, decibels; dropout
   * and jump: change of the level, decibels, negative downwards, −60 at the most.
   */
  readonly levelDb: number;
}

export type ControlVerdict = "sound" | "scratchy" | "drops out" | "jumps";

/** Results for one control. */
export interface ControlReport {
  readonly control: string;
  readonly hand: ControlAction;
  /** Start of its window, seconds of the signal. */
  readonly fromS: number;
  readonly untilS: number;
  /** Whether the level shows a movement; many controls do not change it at 1 kHz. */
  readonly moved: "seen" | "not seen";
  /** From the lowest to the highest level under the tone, decibels; 60 at the most. */
  readonly rangeDb: number;
  readonly scratches: { readonly tone: number; readonly silence: number };
  readonly dropouts: number;
  readonly jumps: number;
  /** Number of scratches expected from chance and background in the same time. */
  readonly expected: number;
  /** Worst first; scratches close together are one. */
  readonly events: readonly ControlEvent[];
  /** Faults, the worst first; or only `sound`. */
  readonly verdicts: readonly ControlVerdict[];
  /** Likely wear; absent if sound, and in rounds made before it was stored. */
  readonly wear?: ControlWear;
}

/**
 * Likely wear of a faulty control; worded in `report/controls`. `leak`: it crackles without a
 * signal, so DC voltage lies on it; `contact`: of a switch; `track`: of a knob or a fader.
 */
export type ControlWear = "leak" | "contact" | "track";
