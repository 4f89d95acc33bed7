import { type Absent, isAbsent } from "./absence.js";
import type { ReturnContext } from "./return-context.js";
import type { Reading } from "./types.js";

/**
 * Which way a reading moves when a path becomes faulty: `up` for noise and distortion, `down` for
 * headroom, `both` if any difference is a fault, `none` if it only describes.
 */
export type HarmDirection = "up" | "down" | "both" | "none";

/**
 * The aspect of a path that a reading or curve shows. Those of one aspect measure the same thing in
 * several ways: one fault moves them all, and counts once.
 */
export type Aspect =
  | "gain"
  | "balance"
  | "side-phase"
  | "side-delay"
  | "polarity"
  | "band"
  | "distortion"
  | "overload"
  | "linearity"
  | "noise"
  | "hum"
  | "clicks"
  | "steadiness"
  | "offset"
  | "crosstalk";

/**
 * The purpose for which code needs one particular reading. Each role belongs to one reading; code
 * looks up the role (`getReadingId`) and need not know which reading has it.
 *
 * - `level`: the tone as it came back, which gives a recording its scale - `gain`: the same relative to the signal sent; noise is compared with it over the years - `polarity`: of the returned signal - `balance`: shows whether both sides of a stereo bus carry the tone -
 * `lower-corner`: the response's, from which a capacitance is estimated - `noise`, `noise-slope`,
 * `hiss`, `hum`, `odd-hum`, `even-hum`: all noise as heard, that without the mains, and the mains'
 * share of it - `stray-tone`, `stray-tone-frequency`: the strongest tone beside the mains -
 * `fluctuation`: of the steady tone - `step-gain`: read from the level steps; says why there are
 * none - `distortion`, `overload-distortion`, `overload-squeeze`, `overload-level`: of the tone at
 * nominal and of the step far above it, what that step's level lacks, and the level from which it
 * distorts - `burstiness`: of hiss
 */
export type ReadingRole =
  | "level"
  | "gain"
  | "polarity"
  | "balance"
  | "lower-corner"
  | "noise"
  | "noise-slope"
  | "hiss"
  | "hum"
  | "odd-hum"
  | "even-hum"
  | "stray-tone"
  | "stray-tone-frequency"
  | "fluctuation"
  | "step-gain"
  | "distortion"
  | "low-distortion"
  | "overload-distortion"
  | "overload-squeeze"
  | "overload-level"
  | "burstiness";

/**
 * How a reading depends on the level of the signal where nothing is broken, so that it can be
 * compared at one level only:
 *
 * - `itself`: it is the level - `noise`: noise from before a control changes with it, noise from after it does not
 * - `distortion`: a product of order n, which changes by n − 1 times the level in decibels
 * - `overload`: distortion near full level, where a few decibels may reach the rails
 * - `compression`, `headroom`: what is left below clipping
 * - `mixed`: in no simple way
 */
export type LevelDependence =
  | "itself"
  | "noise"
  | "distortion"
  | "overload"
  | "compression"
  | "headroom"
  | "mixed";

/** The few values of a reading that is not a number. */
export interface NamedValues {
  readonly names: readonly { readonly value: number; readonly name: string }[];
  /** Text for a path whose value differs from its siblings'. */
  readonly unlike: string;
}

/**
 * How a reading counts when causes are weighed. Readings of one group measure nearly the same
 * thing: only the first that a path has is used.
 */
export interface EvidenceFacet {
  readonly group: string;
  /** Position among all that count, and within the group; lowest first. */
  readonly order: number;
}

/**
 * How a reading helps to split a family that is two batches, such as renewed and original strips.
 */
export interface BatchFacet {
  /** Readings of one group depend on one another and count as one. */
  readonly group: string;
  /**
   * Its smallest relevant difference in octaves, if the reading is compared by ratio and has no
   * `least`.
   */
  readonly leastOctaves?: number;
}

/** How a reading that shows ageing changes over the years. */
export interface AgeingFacet {
  /** Position among all that age; lowest first. */
  readonly order: number;
  /**
   * `logarithm`: a corner follows the inverse of a capacitance that shrinks by a share of itself
   * each year. `against-tone`: noise against the tone that came through the same path, so that an
   * interface turned up or down is not ageing. `plain`: decibels as they are.
   */
  readonly scale: "logarithm" | "against-tone" | "plain";
  /** The part that wears out, as needed for a repair. */
  readonly wants: string;
  /**
   * `drying`: one capacitor of a row loses a share of itself each year while the others stay. A
   * straight line on its scale when absent.
   */
  readonly law?: "drying";
  /** End of the audio band, for a corner: the value that it must not pass. */
  readonly bandEnd?: { readonly hz: number; readonly side: "upper" | "lower" };
}

/** Where noise is summed, hertz, and its weighting; `468` with its quasi-peak meter. */
export interface OwnBand {
  readonly fromHz: number;
  readonly toHz: number;
  readonly weighting: "flat" | "A" | "468";
}

/**
 * How the interface's share adds in a reading made through it. - `power`: noise, which adds as
 * power and can be subtracted; `band` is where it is summed and how it is weighted (for a curve, at
 * each point); `steady` names the reading
 *   of the part that does not (mains lines, harmonics), whose phase is unknown, and `lines` the curve of
 *   its lines, where they are known one by one; of a reading against another, `against`, both are in it,
 *   the lines as they stand against that one
 * - `phase`: adds as voltage with unknown phase and cannot be subtracted (distortion, mains lines); `rise`
 *   is by how many decibels it may rise, against what it is compared with, for one of level; `at` names the
 *   reading of the frequency of a single tone. A sum over
 *   lines of a curve, `lines`, of all orders or some, has a phase for each: in power some cancel and some add
 * - `difference`: adds in the reading's own unit (delay, compression)
 */
export type OwnShare =
  | {
      readonly adds: "power";
      readonly band?: OwnBand | "third-octaves";
      readonly steady?: string;
      readonly lines?: string;
      readonly against?: string;
    }
  | {
      readonly adds: "phase";
      readonly at?: string;
      readonly rise?: number;
      readonly lines?: string;
      readonly orders?: "odd" | "even";
    }
  | { readonly adds: "difference" };

/**
 * The physical nature of a shared fault, in the broadest terms: one mechanism moves all readings of
 * an aspect. Stored in rounds.
 */
export const sharedAspects = [
  "dead",
  "polarity",
  "level",
  "bass",
  "treble",
  "noise",
  "hum-odd",
  "hum-even",
  "distortion",
  "clipping",
] as const;

export type SharedAspect = (typeof sharedAspects)[number];

/** How a shared fault is recognised by a reading or a curve. */
export interface SharedFacet {
  /** Position among all that recognise one; lowest first. */
  readonly order: number;
  /** Standard deviation of a healthy family beforehand, in the reading's unit (common practice). */
  readonly scatter: number;
  /** Smallest shared difference that matters. */
  readonly least: number;
}

/** How a shared fault is recognised by a reading. */
export interface SharedReadingFacet extends SharedFacet {
  readonly aspect: SharedAspect;
  /** Of the readings of one group only the first that a path has is used. */
  readonly group: string;
  /** Direction in which it moves when a shared part fails. */
  readonly harm: HarmDirection;
  /** Smallest change since an earlier round that matters; that of the aspect when absent. */
  readonly leastChange?: number;
  /** The desk file's expectation that applies to it; none when absent. */
  readonly expected?: "distortionDb" | "overloadDb" | "headroomDb";
}

/**
 * How the contribution of a shared part adds in a reading.
 *
 * - `power`: noise, mains lines and harmonics of another source add as power
 * - `shift`: a gain change moves it by as much, in the reading's unit - `turn`: it is inverted - `least`: the worst stage of a path alone determines it, and hides less bad ones
 */
export type ShareDomain = "power" | "shift" | "turn" | "least";

/** How a path is distinguished from its siblings by a reading or a curve on another occasion. */
export interface RecognitionFacet {
  /** Position among all that tell paths apart; lowest first. */
  readonly order: number;
  /**
   * Standard deviation of one path from one occasion to another, in the reading's unit: common
   * practice, and never less than settings and noise of the virtual desk cause.
   */
  readonly repeat: number;
  /** Set if the interface's setting changes it for all paths. */
  readonly withLevel?: true;
}

/**
 * Largest change for the worse, common to all paths measured again, with which a desk may still be
 * closed; in the unit of the reading.
 */
export interface ClosingFacet {
  readonly most: number;
  /** The same if both rounds are calibrated, where it differs. */
  readonly mostCalibrated?: number;
}

/**
 * Everything known about a kind of reading, as plain data: what it is, how siblings are compared by
 * it, what it says about causes, how it ages, where reports list it. An absent facet has the
 * default given with it. Figures without a source are common practice.
 *
 * @typeParam Id its name in files, as a literal
 */
export interface ReadingFacets<Id extends string = string> {
  /** Its name in files and limits. */
  readonly id: Id;
  /** Its name within a sentence: "noise", "level". */
  readonly name: string;
  /** Set if the name ends in a level, so that a value after it needs a colon. */
  readonly endsInLevel?: true;
  /** Other usual names, accepted in limits. */
  readonly alsoCalled?: readonly string[];
  readonly unit: string;
  /** Definition, in one line. */
  readonly definition: string;
  /** The standard or paper that defines it; "common practice" if there is none. */
  readonly source: string;
  /** Name of the segment it is made from; a profile without that segment has no such reading. */
  readonly segment: string;
  readonly aspect: Aspect;
  /** Role of this particular reading; none when absent. */
  readonly role?: ReadingRole;
  /** Its possible values, if it is not a number. */
  readonly values?: NamedValues;
  /** Set for a frequency, which is compared by ratio; usually readings are compared by difference. */
  readonly compared?: "ratio";
  /** Period of a cyclic value such as a phase. */
  readonly period?: number;
  /** Set if it belongs to both sides of a stereo bus together; of one side when absent. */
  readonly sides?: "both";

  /** Among siblings; `none` for a reading that is not ranked. */
  readonly harm: HarmDirection;
  /** The same with only two siblings, if it differs: a fault usually loses level. */
  readonly harmOfTwo?: HarmDirection;
  /** Smallest difference that matters at any certainty; unit of the reading. */
  readonly least: number;
  /**
   * `unknown` if the scatter of healthy siblings depends on cables, place and time, or on chance;
   * otherwise a prior standard deviation: this many units, or half of `least` when absent.
   */
  readonly priorScatter?: "unknown" | number;
  /**
   * Set if it includes hum: if hum dominates, hum's `least` replaces its own. `weighted` if the
   * weighting removes most of the hum, so that it counts as hum only if hiss has no part in it.
   */
  readonly holdsHum?: true | "weighted";
  /** Absent if it cannot split a family into batches: it depends on cables or chance. */
  readonly batch?: BatchFacet;

  /** Absent if no shared fault is recognised by it. */
  readonly shared?: SharedReadingFacet;
  /** How a shared part's contribution adds in it; absent for one that only describes. */
  readonly share?: ShareDomain;
  /** Absent if paths are not distinguished by it. */
  readonly recognition?: RecognitionFacet;

  /** Absent if causes are not judged by it. */
  readonly evidence?: EvidenceFacet;
  /** Absent if the level does not matter. */
  readonly levelDependence?: LevelDependence;
  /**
   * Lowest and highest that strong hum in a path can move it by, in its unit: lines coincide with
   * harmonics, reach into the hiss, disturb low-level readings. Absent if it cannot.
   */
  readonly underHum?: readonly [low: number, high: number];

  /**
   * Smallest change between two rounds that matters: in its unit, or as a share of the value.
   * `least` when absent.
   */
  readonly leastChange?: number | { readonly share: number };
  /** Direction in which it moves as a path ages, if not `harm`. */
  readonly harmInTime?: HarmDirection;
  /**
   * Direction in which it differs from its siblings', if not `harm`; reported only if no reading of
   * its aspect reports as much.
   */
  readonly harmBeside?: HarmDirection;
  /** Set if it depends on the end of the signal's band: signals of another band do not compare. */
  readonly atBandEnd?: true;
  /** Set if its meaning changes with calibration, in the same unit. */
  readonly relativeUntilCalibrated?: true;
  /** Absent if it says nothing about age. */
  readonly ageing?: AgeingFacet;
  /**
   * Explanation of a change for the worse common to all siblings: `set-up` for the interface, the
   * run sheet, the temperature; age when absent.
   */
  readonly commonChange?: "set-up";
  /** For common changes in a re-test: one and a half times `least` when absent. */
  readonly closing?: ClosingFacet;
  /** Id of the reading whose common change makes this one redundant. */
  readonly repeats?: string;

  /** Set if a summary leaves it out because another reading covers it. */
  readonly detail?: true;
  /** Set where it is listed for the interface alone, as what that hides. */
  readonly listedForInterface?: true;

  /** How the interface's share adds; absent if it has none or is handled separately. */
  readonly own?: OwnShare;
  /**
   * Largest excess of a sum of several strips on one channel over the expected value: decibels, or
   * its unit for counts. Absent if sums are not judged by it.
   */
  readonly sumTolerance?: number;
}

/** One row of the registry: what a reading is and how it is made. */
export interface ReadingKind<Id extends string = string> extends ReadingFacets<Id> {
  /** Whether a return can have such a reading at all; every return can when absent. */
  applies?(context: ReturnContext): boolean;
  read(context: ReturnContext): Reading | Absent;
}

/**
 * Whether a reading was made.
 *
 * @example
 * isReading({ value: -60, unit: "dB", uncertainty: 0.1 }); // true
 * isReading({ absent: { code: "converter-clipped" } }); // false
 */
export function isReading(reading: Reading | Absent): reading is Reading {
  return !isAbsent(reading);
}
