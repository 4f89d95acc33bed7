import type { StageRole } from "../desk/stage-role.js";
import type { LevelDependence, ReadingKind } from "../measure/reading-kind.js";
import { getReadingId, type ReadingId, readingKinds } from "../measure/reading-kinds.js";
import type { SharedAspect } from "../rank/shared/types.js";
import { formatChange } from "../text/format-signed.js";
import type { BenchRecord, BenchStep } from "./bench.js";
import type { CheckAnswers, CheckId } from "./checks/check-kinds.js";
import type { Evidence, EvidenceWords, LoudKind } from "./evidence.js";
import type { MeterFinding } from "./meter-tolerance.js";
import type { Control, Symptom } from "./note-vocabulary.js";
import type { PathEvidence } from "./path-evidence.js";
import type { Cause } from "./types.js";

/** Lowest and highest deviation that a cause can give a reading, in the reading's unit. */
export type DeviationRange = readonly [low: number, high: number];

/** Deviations that a cause can give to readings. */
export type DeviationRanges = Readonly<Partial<Record<ReadingId, DeviationRange>>>;

/** What a cause's physics makes of a path, its own parameters fitted to what is seen. */
export interface Prediction {
  /** Readings it moves; all others are expected where the siblings have them. */
  readonly moves: DeviationRanges;
  /** Response difference it gives, decibels at a frequency; none when absent. */
  readonly response?: (hz: number) => number;
  /**
   * How far the response may be off at any frequency, decibels, where the level jumps while the
   * sweep passes; none when absent.
   */
  readonly wander?: number;
  /** How many figures of the response's shape were fitted to it: each costs likelihood. */
  readonly fitted?: number;
  /**
   * Nats that a sign speaks for it which no reading holds and no other cause here gives: a level that
   * breaks and comes back. None when absent.
   */
  readonly sign?: number;
  /** What was fitted and seen, a line each. */
  readonly evidence: readonly Evidence[];
}

/**
 * What can show a cause: the readings of a round, a controls pass, a meter in a hand, somebody who
 * uses the desk and notes it, or only eyes and nose once it is open.
 */
export type Witness = "round" | "controls pass" | "meter" | "use" | "eyes and nose";

/**
 * Notes that point to a cause. A share says how many in ten such notes are its doing (common
 * practice, a guess); causes are listed by it.
 */
export interface NotePointer {
  /**
   * Controls that the note names. Absent: notes that name no control, or one that none of the
   * cause's pointers speaks of while all of them are without.
   */
  readonly controls?: readonly Control[];
  readonly symptoms?: Readonly<Partial<Record<Symptom, number>>>;
  /** Share where the note names one of the controls and no symptom listed here. */
  readonly otherwise?: number;
  /**
   * Symptoms that, with one of these controls, are reason enough to have the cause's parts ready;
   * for all others a reading decides first.
   */
  readonly sure?: readonly Symptom[];
}

/** A hand reading that speaks for a cause. */
export interface MeterPointer {
  readonly kind: MeterFinding["kind"];
  /** Which deviation speaks for it; `out` is either. */
  readonly when: "low" | "high" | "out";
  /** Least and largest size, volts, where it does not speak at any. */
  readonly fromV?: number;
  readonly belowV?: number;
  /**
   * `settles`: the reading names the cause; `raises`: it makes one more likely that something else
   * has named, and one in order makes it less so.
   */
  readonly weight: "settles" | "raises";
}

/** All that is known of a cause. */
export interface CauseKind<Id extends string = string> {
  /** Stored in rounds and closings for ever. */
  readonly id: Id;
  /** In words of the trade. */
  readonly name: string;
  /** The same in at most twelve characters, for a cell of the map. */
  readonly word: string;
  readonly kind: Cause["kind"];
  /** What it shows in where a part has it that several paths share; one cause for an aspect. */
  readonly sharedAspect?: SharedAspect;
  /** What can show it, the usual first. */
  readonly shownBy: readonly Witness[];
  /** What the stages do that it can sit in; absent where it can be in any (common practice). */
  readonly seat?: readonly StageRole[];
  /** The check that settles it: a clause in the imperative, as it follows a colon. */
  readonly settle: BenchStep;
  /**
   * What a hand at the desk does first, the plug still in it, before anything else is believed:
   * common practice.
   */
  readonly tryNow?: string;
  /** Parts and tools to have ready. */
  readonly ready?: string;
  readonly care?: string;
  /** What looks much the same, by id, and the quick check that separates the two. */
  readonly confusedWith: readonly { readonly cause: string; readonly check: string }[];
  /** What it asks for at the bench; a patch or capture error asks for nothing. */
  readonly bench?: BenchRecord;
  readonly notes?: readonly NotePointer[];
  readonly meter?: readonly MeterPointer[];
  /** Causes, by id, that are this one's doing where the meter has shown it. */
  readonly explains?: readonly string[];
  /**
   * In how many of such paths it is the reason where one side of a stereo bus stays silent and the other
   * comes through, a share; absent where it cannot be: what lies before the pan is in both.
   */
  readonly silentSideShare?: number;
  /** The same where loud sound came instead of a return, by what it is. */
  readonly loudShares?: Readonly<Partial<Record<LoudKind, number>>>;
  /** How a second play with something turned answers where this is the cause. */
  readonly answers?: CheckAnswers;
  /** Checks in which a control that changes nothing points to it. */
  readonly idles?: readonly CheckId[];
  /** Checks that point to it by clearing what was seen: no round shows what it is. */
  readonly cleared?: readonly CheckId[];
}

/** A cause with a bench record. */
export interface BenchedCause<Id extends string = string> extends CauseKind<Id> {
  readonly bench: BenchRecord;
}

/** A cause that a path's readings can show, with its physics. */
export interface PredictedCause<Id extends string = string> extends CauseKind<Id> {
  /**
   * How often it is the reason when a path is odd, against the other causes. Common practice of
   * the trade, no published source; the evidence soon outweighs it.
   */
  readonly prior: number;
  /** The words of the evidence that is its own. */
  readonly says?: EvidenceWords;
  /** Undefined where the cause cannot give what is seen at all. */
  predict(path: PathEvidence): Prediction | undefined;
}

/**
 * Whether a path's readings can show it.
 *
 * @example
 * isPredicted(findCause("dried-coupling-capacitor")); // true
 * isPredicted(findCause("none-of-these")); // false
 */
export function isPredicted(cause: CauseKind): cause is PredictedCause {
  return "predict" in cause;
}

/** No bound: what the cause does to a reading cannot be predicted. */
export const anyDeviation: DeviationRange = [-200, 200];

/**
 * What another level does to the other readings when nothing is broken: distortion of order n
 * goes with n−1 times the level, noise from before the control goes along, noise from behind it
 * stays.
 *
 * @param levelDb change of level, decibels
 * @example
 * // 10 dB less: distortion of the third order falls by 20 dB, and 3 dB more may be chance.
 * predictLevelRanges(-10).thd; // [-23, 3]
 * predictLevelRanges(-10).noise; // [-11, 1]
 */
export function predictLevelRanges(levelDb: number): DeviationRanges {
  const less = Math.min(0, levelDb);
  const more = Math.max(0, levelDb);
  const ranges: Readonly<Partial<Record<LevelDependence, DeviationRange>>> = {
    noise: [less - 1, more + 1],
    distortion: [2 * less - 3, 2.5 * more + 3],
    // near full level a few decibels more may reach the rails
    overload: [2 * less - 3, more > 0 ? 40 : 3],
    compression: [-more, 0.3],
    headroom: [-more - 1, 1 - less],
  };
  return rangesOf(({ levelDependence }) => levelDependence && ranges[levelDependence]);
}

/**
 * The noise readings, which all see hiss.
 *
 * @example
 * predictHissRanges([3, 20]).noise; // [3, 20]
 * predictHissRanges([3, 20]).thd; // undefined
 */
export function predictHissRanges(range: DeviationRange): DeviationRanges {
  return rangesOf(({ aspect, levelDependence }) =>
    aspect === "noise" && levelDependence === "noise" ? range : undefined,
  );
}

/**
 * The readings of mains hum: odd lines, even lines, and both together if they cannot be told apart.
 *
 * @example
 * predictHumRanges([10, 40], [0, 20]).hum; // [0, 40]
 */
export function predictHumRanges(odd: DeviationRange, even: DeviationRange): DeviationRanges {
  const either: DeviationRange = [Math.min(odd[0], even[0]), Math.max(odd[1], even[1])];
  return {
    [getReadingId("odd-hum")]: odd,
    [getReadingId("even-hum")]: even,
    [getReadingId("hum")]: either,
  };
}

/**
 * What strong hum does to other readings: lines fall on harmonics of 100 Hz, reach into the hiss by
 * their upper multiples and shake what is measured at low level.
 *
 * @example
 * predictHumMixing().thd; // [-8, 12]
 */
export function predictHumMixing(): DeviationRanges {
  return rangesOf(({ underHum }) => underHum);
}

/** The range of every reading that has one. */
function rangesOf(range: (kind: ReadingKind) => DeviationRange | undefined): DeviationRanges {
  return Object.fromEntries(
    readingKinds.flatMap((kind) => {
      const own = range(kind);
      return own === undefined ? [] : [[kind.id, own]];
    }),
  );
}

/**
 * Decibels for evidence lines: sign and one decimal.
 *
 * @example
 * formatDb(-7.25); // "−7.3 dB"
 */
export function formatDb(value: number): string {
  return `${formatChange(value.toFixed(1))} dB`;
}

/**
 * Hertz for evidence lines: two digits.
 *
 * @example
 * formatHz(12_400); // "12 kHz"
 */
export function formatHz(value: number): string {
  return value < 995
    ? `${Number(value.toPrecision(2))} Hz`
    : `${Number((value / 1000).toPrecision(2))} kHz`;
}
