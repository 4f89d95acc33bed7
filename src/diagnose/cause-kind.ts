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

/** What a cause's physics predicts for a path, its parameters fitted to what is seen. */
export interface Prediction {
  /** Readings it changes; all others are expected to match the siblings'. */
  readonly moves: DeviationRanges;
  /** Response difference it causes, decibels at a frequency; none if absent. */
  readonly response?: (hz: number) => number;
  /**
   * How far the response may be off at any frequency, decibels, if the level jumps during the
   * sweep; zero if absent.
   */
  readonly wander?: number;
  /** Number of parameters fitted to the response: each costs likelihood. */
  readonly fitted?: number;
  /**
   * Nats in favour from a sign that is in no reading and that no other cause here gives: a level
   * that breaks and recovers. Zero if absent.
   */
  readonly sign?: number;
  /** What was fitted and seen, one line each. */
  readonly evidence: readonly Evidence[];
}

/**
 * What can show a cause: the readings of a round, a controls pass, a hand-held meter, somebody who
 * uses the desk and notes it, or only eyes and nose once it is open.
 */
export type Witness = "round" | "controls pass" | "meter" | "use" | "eyes and nose";

/**
 * Notes that point to a cause. A share is how many in ten such notes it explains (common practice,
 * a guess); causes are listed in that order.
 */
export interface NotePointer {
  /**
   * Controls that the note names. Absent: for notes that name no control, or, if no pointer of the
   * cause has controls, any control.
   */
  readonly controls?: readonly Control[];
  readonly symptoms?: Readonly<Partial<Record<Symptom, number>>>;
  /** Share if the note names one of the controls and no symptom listed here. */
  readonly otherwise?: number;
  /**
   * Symptoms that, with one of these controls, are reason enough to order the cause's parts; for
   * all others a reading decides first.
   */
  readonly sure?: readonly Symptom[];
}

/** A meter reading that speaks for a cause. */
export interface MeterPointer {
  readonly kind: MeterFinding["kind"];
  /** Direction of the deviation that speaks for it; `out` is either. */
  readonly when: "low" | "high" | "out";
  /** Smallest and largest deviation, volts; absent if any counts. */
  readonly fromV?: number;
  readonly belowV?: number;
  /**
   * `settles`: the reading names the cause; `raises`: it makes a cause named by something else more
   * likely, and a reading in order makes it less likely.
   */
  readonly weight: "settles" | "raises";
}

/** All that is known of a cause. */
export interface CauseKind<Id extends string = string> {
  /** Stored in rounds and closings for ever. */
  readonly id: Id;
  /** In words of the trade. */
  readonly name: string;
  /** A short name of at most twelve characters, for a cell of the map. */
  readonly word: string;
  readonly kind: Cause["kind"];
  /**
   * The aspect in which it shows if a part that several paths share has it; one cause per aspect.
   */
  readonly sharedAspect?: SharedAspect;
  /** What can show it, the most usual first. */
  readonly shownBy: readonly Witness[];
  /** Roles of the stages that it can be in; absent if it can be in any (common practice). */
  readonly seat?: readonly StageRole[];
  /** The check that confirms it: an imperative clause that follows a colon. */
  readonly settle: BenchStep;
  /**
   * What to do first at the desk, before unplugging anything and before believing anything else
   * (common practice).
   */
  readonly tryNow?: string;
  /** Parts and tools to have ready. */
  readonly ready?: string;
  readonly care?: string;
  /** Causes that look much the same, by id, and the quick check that separates the two. */
  readonly confusedWith: readonly { readonly cause: string; readonly check: string }[];
  /** What it needs at the bench; absent for patch and capture errors. */
  readonly bench?: BenchRecord;
  readonly notes?: readonly NotePointer[];
  readonly meter?: readonly MeterPointer[];
  /** Causes, by id, that this one explains if the meter has shown it. */
  readonly explains?: readonly string[];
  /**
   * Share of the paths with one silent side of a stereo bus, the other coming through, that it
   * explains; absent if it cannot: whatever is upstream of the pan affects both sides.
   */
  readonly silentSideShare?: number;
  /** The same for loud sound in place of a return, by kind of sound. */
  readonly loudShares?: Readonly<Partial<Record<LoudKind, number>>>;
  /** How a second recording with something changed responds if this is the cause. */
  readonly answers?: CheckAnswers;
  /** Checks in which a control that changes nothing points to it. */
  readonly idles?: readonly CheckId[];
  /** Checks that point to it by clearing what was seen; a round cannot show the cause itself. */
  readonly cleared?: readonly CheckId[];
}

/** A cause with a bench record. */
export interface BenchedCause<Id extends string = string> extends CauseKind<Id> {
  readonly bench: BenchRecord;
}

/** A cause that a path's readings can show, with its physics. */
export interface PredictedCause<Id extends string = string> extends CauseKind<Id> {
  /**
   * How often it is the reason that a path stands out, relative to the other causes. Common
   * practice of the trade, no published source; the evidence soon outweighs it.
   */
  readonly prior: number;
  /** Wording of its own kinds of evidence. */
  readonly says?: EvidenceWords;
  /** Undefined if the cause cannot produce what is seen at all. */
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

/** Unbounded: the effect of the cause on a reading cannot be predicted. */
export const anyDeviation: DeviationRange = [-200, 200];

/**
 * What a change of level does to the other readings of a healthy path: distortion of order n
 * changes by n−1 times as much, noise from upstream of the control changes with it, noise from
 * downstream stays.
 *
 * @param levelDb change of level, decibels
 * @example
 * // 10 dB less: third-order distortion falls by 20 dB, and 3 dB more may be chance.
 * predictLevelRanges(-10).thd; // [-23, 3]
 * predictLevelRanges(-10).noise; // [-11, 1]
 */
export function predictLevelRanges(levelDb: number): DeviationRanges {
  const less = Math.min(0, levelDb);
  const more = Math.max(0, levelDb);
  const ranges: Readonly<Partial<Record<LevelDependence, DeviationRange>>> = {
    noise: [less - 1, more + 1],
    distortion: [2 * less - 3, 2.5 * more + 3],
    // near full level, a few decibels more may reach the rails
    overload: [2 * less - 3, more > 0 ? 40 : 3],
    compression: [-more, 0.3],
    headroom: [-more - 1, 1 - less],
  };
  return rangesOf(({ levelDependence }) => levelDependence && ranges[levelDependence]);
}

/**
 * The same range for all noise readings, which all include hiss.
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
 * The readings of mains hum: odd harmonics, even harmonics, and both together if they cannot be
 * separated.
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
 * What strong hum does to other readings: its lines fall on harmonics of 100 Hz, its upper
 * multiples reach into the hiss, and it disturbs readings at low level.
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
