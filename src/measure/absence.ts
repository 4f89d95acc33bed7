import type { Profile } from "../signal/types.js";

/** Parts of a test signal that a reading is made from. */
export type SignalPart =
  | "tone"
  | "step"
  | "level-steps"
  | "low-steps"
  | "twin-tone"
  | "silence"
  | "sweep"
  /** In which a control is moved. */
  | "moves"
  /** In which nothing is moved. */
  | "unmoved";

/**
 * Why a reading or a curve could not be made, as data: a code and its facts. `report/absences` has
 * the words, once.
 */
export type Absence =
  /** Words stored by an earlier program instead of data. */
  | { readonly code: "as-recorded"; readonly reason: string }
  | { readonly code: "not-in-signal"; readonly part: SignalPart; readonly profile: Profile }
  | {
      readonly code: "not-in-capture";
      readonly part: SignalPart | "beginning";
      /** The control to be moved in it. */
      readonly control?: string;
    }
  | { readonly code: "converter-clipped" }
  | { readonly code: "no-tone"; readonly hz: number }
  | { readonly code: "tone-beyond-rate"; readonly hz: number; readonly sampleRate: number }
  | { readonly code: "digital-zero"; readonly of: "silence" | "one-side" | "undriven" }
  /** Samples of a channel that was not driven are NaN or infinite. */
  | { readonly code: "undriven-invalid" }
  | { readonly code: "of-undriven"; readonly because: Absence }
  | { readonly code: "of-other-side"; readonly because: Absence }
  | { readonly code: "one-side-recorded" }
  | { readonly code: "noise-unknown"; readonly of: "sweep" | "crosstalk" }
  /** Nothing of the sweep came back. */
  | { readonly code: "sweep-gone" }
  | { readonly code: "sweep-in-noise"; readonly where: "reference" | "middle" | "both-sides" }
  | { readonly code: "low-steps-in-noise" }
  | { readonly code: "uncalibrated" }
  /** The calibration does not know the input that the path was recorded through. */
  | { readonly code: "input-not-calibrated" }
  | { readonly code: "calibration-without-noise" }
  /** It depends on a reading that could not be made. */
  | { readonly code: "without-noise" | "without-level" }
  | {
      readonly code: "below-thermal-noise";
      /** By how much, decibels. */
      readonly belowDb: number;
      readonly sourceOhm: number;
    }
  | { readonly code: "between-polarities" }
  | { readonly code: "overload-in-noise" }
  /** The converter clipped first, at a step this many decibels above nominal. */
  | { readonly code: "clipped-before-overload"; readonly aboveNominalDb: number }
  | { readonly code: "above-highest-step"; readonly aboveNominalDb: number }
  | { readonly code: "below-lowest-step"; readonly aboveNominalDb: number }
  | { readonly code: "nothing-clips"; readonly because: Absence }
  /** The waveform is not that of a tone. */
  | { readonly code: "not-a-tone" }
  | { readonly code: "no-mains-line"; readonly mainsHz: number; readonly withinHz: number }
  | { readonly code: "no-stray-tone" }
  | { readonly code: "harmonic-beyond-band"; readonly order: number }
  | {
      readonly code: "corner-beyond-sweep";
      readonly end: "low" | "high";
      /** Edge of the range that the sweep shows. */
      readonly edgeHz: number;
      /** Set if the visible part is not a roll-off either. */
      readonly isOtherShape?: true;
    }
  | { readonly code: "no-roll-off" }
  | { readonly code: "other-shape"; readonly end: "low" | "high" }
  | { readonly code: "order-unclear" }
  | { readonly code: "not-finite" }
  /** What the path shares with its siblings hides it. */
  | { readonly code: "hidden-by-share" }
  /** This many strips were open at once: it is measured for their sum. */
  | { readonly code: "of-open-strips"; readonly strips: number };

/** Readings and curves that could not be made: id to reason. */
export type Absences = Readonly<Record<string, Absence>>;

/** A reading or a curve that could not be made, and why. */
export interface Absent {
  readonly absent: Absence;
}

/** For readings of both sides of a stereo bus, if the path was recorded in mono. */
export const oneSideRecorded: Absent = { absent: { code: "one-side-recorded" } };

/**
 * Whether a result is the reason why there is no value.
 *
 * @example
 * isAbsent({ absent: { code: "converter-clipped" } }); // true
 * isAbsent({ value: -60, unit: "dB", uncertainty: 0.1 }); // false
 */
export function isAbsent(result: object): result is Absent {
  return "absent" in result;
}
