import { type Absent, isAbsent } from "./absence.js";
import type { ReturnContext } from "./return-context.js";
import type { Reading } from "./types.js";

/**
 * Which way a reading moves when a path becomes faulty: `up` for noise and distortion, `down` for
 * headroom, `both` where any difference is one, `none` where it only describes.
 */
export type HarmDirection = "up" | "down" | "both" | "none";

/**
 * What of a path a reading or a curve shows. Those of one aspect look at the same thing in several
 * ways: one fault moves them all, and counts once.
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
 * What a room needs one particular reading for. Each role belongs to one reading; a room asks for
 * the role (`getReadingId`) and need not know which reading has it.
 *
 * - `level`: the tone as it came back, by which a recording is placed on a scale - `gain`: the same
 * against what was sent; noise is compared with it through the years - `polarity`: which way up the
 * signal came back - `balance`: shows whether both sides of a stereo bus carry the tone -
 * `lower-corner`: the response's, from which a capacitance is estimated - `noise`, `noise-slope`, `hiss`, `hum`,
 * `odd-hum`, `even-hum`: all noise as heard, that without the mains, and the mains' share of it -
 * `stray-tone`, `stray-tone-frequency`: the strongest tone beside the mains - `fluctuation`: of the
 * steady tone - `step-gain`: read from the level steps; says why there are none - `distortion`,
 * `overload-distortion`, `overload-squeeze`, `overload-level`: of the tone at nominal and of the step far
 * above it, what that step's level lacks, and the level from which it distorts - `burstiness`: of hiss
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
 * - `itself`: it is the level
 * - `noise`: noise from before a control goes along with it, noise from after it stays
 * - `distortion`: a product of order n, which goes with n − 1 times the level in decibels
 * - `overload`: distortion near full level, which a few decibels may take to the rails
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
  /** What is said of a path whose value is not that of its siblings. */
  readonly unlike: string;
}

/**
 * How a reading counts when causes are weighed. Readings of one group measure nearly the same
 * thing: only the first that a path has is used.
 */
export interface EvidenceFacet {
  readonly group: string;
  /** Place among all that count, and within the group; lowest first. */
  readonly order: number;
}

/** How a reading helps to part a family that is two batches, such as renewed and original strips. */
export interface BatchFacet {
  /** Readings of one group depend on one another and count as one. */
  readonly group: string;
  /** Its practical floor in octaves, where the reading is compared by ratio and has no `least`. */
  readonly leastOctaves?: number;
}

/** How a reading that shows ageing changes over the years. */
export interface AgeingFacet {
  /** Place among all that age; lowest first. */
  readonly order: number;
  /**
   * `logarithm`: a corner follows the inverse of a capacitance that shrinks by a share of itself
   * each year. `against-tone`: noise against the tone that came through the same path, so that an
   * interface turned up or down is not ageing. `plain`: decibels as they are.
   */
  readonly scale: "logarithm" | "against-tone" | "plain";
  /** What wears out, as the part a strip will need. */
  readonly wants: string;
  /**
   * `drying`: one capacitor of a row loses a share of itself each year while the others stay. A
   * straight line on its scale when absent.
   */
  readonly law?: "drying";
  /** Where the audio band ends, for a corner: the value at which it has come to the band's end. */
  readonly bandEnd?: { readonly hz: number; readonly side: "upper" | "lower" };
}

/** Where noise is summed, hertz, and its weighting; `468` with the quasi-peak meter that goes with it. */
export interface OwnBand {
  readonly fromHz: number;
  readonly toHz: number;
  readonly weighting: "flat" | "A" | "468";
}

/**
 * How the interface's own share stands in a reading made through it.
 *
 * - `power`: noise of its own, which adds as power and can be taken off; `band` is where it is summed and
 *   how it is weighted (of a curve, each point's own); `steady` names the reading
 *   of the part that does not (mains lines, harmonics), whose phase is unknown, and `lines` the curve of
 *   its lines, where they are known one by one; of a reading against another, `against`, both are in it,
 *   the lines as they stand against that one
 * - `phase`: adds as voltage with unknown phase and cannot be taken off (distortion, mains lines); `rise`
 *   is by how many decibels it may rise, against what it is compared with, for one of level; `at` names the
 *   reading of the frequency of a single tone. A sum over
 *   lines of a curve, `lines`, of all orders or some, has a phase for each: of their powers some is taken
 *   off and some put on
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
 * What is physically wrong where several paths share it, in the coarsest terms: one mechanism moves
 * all readings of an aspect. Stored in rounds.
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

/** How a fault in what several paths share is recognised by a reading or a curve. */
export interface SharedFacet {
  /** Place among all that recognise one; lowest first. */
  readonly order: number;
  /** Standard deviation of a healthy family beforehand, in the reading's unit (common practice). */
  readonly scatter: number;
  /** A shared difference smaller than this is of no concern. */
  readonly least: number;
}

/** How a fault in what several paths share is recognised by a reading. */
export interface SharedReadingFacet extends SharedFacet {
  readonly aspect: SharedAspect;
  /** Of readings of one group only the first that a path has is used. */
  readonly group: string;
  /** Which way it moves when something that is shared fails. */
  readonly harm: HarmDirection;
  /** A change since an earlier round smaller than this is of no concern: the aspect's when left out. */
  readonly leastChange?: number;
  /** What the desk file's expectations hold it to; nothing of its own when left out. */
  readonly expected?: "distortionDb" | "overloadDb" | "headroomDb";
}

/**
 * How what a shared part adds stands in a reading.
 *
 * - `power`: noise, mains lines and harmonics of another source add as power
 * - `shift`: a gain in the way moves it by as much, in the reading's own unit
 * - `turn`: it is turned over
 * - `least`: the worst stage of a path alone sets it, so that it hides what is less bad
 */
export type ShareDomain = "power" | "shift" | "turn" | "least";

/** How a path is distinguished from its siblings by a reading or a curve on another occasion. */
export interface RecognitionFacet {
  /** Place among all that tell paths apart; lowest first. */
  readonly order: number;
  /**
   * Standard deviation of one path from one occasion to another, in the reading's unit: common
   * practice, and never less than what the virtual desk's hands and noise make of it.
   */
  readonly repeat: number;
  /** Set where the interface's setting moves it for all paths. */
  readonly withLevel?: true;
}

/**
 * With how large a change for the worse, common to all paths that were measured again, a desk may
 * still be closed; in the unit of the reading.
 */
export interface ClosingFacet {
  readonly most: number;
  /** The same where both rounds are calibrated, if it differs. */
  readonly mostCalibrated?: number;
}

/**
 * All that the rooms know of a reading, as plain data: what it is, how siblings are compared by it,
 * what it says of causes, how it goes through the years, where reports list it. A facet that is left
 * out has the usual value, named beside it. Figures without a source are common practice.
 *
 * @typeParam Id its name in files, as a literal
 */
export interface ReadingFacets<Id extends string = string> {
  /** Its name in files and limits. */
  readonly id: Id;
  /** In words of the trade, as it stands in a sentence: "noise", "level". */
  readonly name: string;
  /** Set where the name ends in a level, so that a figure after it wants a colon. */
  readonly endsInLevel?: true;
  /** Other words of the trade for it, which limits take as well. */
  readonly alsoCalled?: readonly string[];
  readonly unit: string;
  /** What it is, in a line. */
  readonly definition: string;
  /** The standard or paper that defines it; "common practice" if there is none. */
  readonly source: string;
  /** Name of the segment it is made from; a profile without that segment has no such reading. */
  readonly segment: string;
  readonly aspect: Aspect;
  /** What a room needs this very reading for; usually nothing. */
  readonly role?: ReadingRole;
  /** The values it can have where it is not a figure; usually it is one. */
  readonly values?: NamedValues;
  /** Set for a frequency, which is compared by ratio; usually readings are compared by difference. */
  readonly compared?: "ratio";
  /** Set where it comes round again after so much, as a phase does. */
  readonly period?: number;
  /** Set where it belongs to both sides of a stereo bus together; usually it is of one side. */
  readonly sides?: "both";

  /** Among siblings; `none` for a reading that is not ranked. */
  readonly harm: HarmDirection;
  /** The same where there are but two siblings, if it differs: what fails loses level. */
  readonly harmOfTwo?: HarmDirection;
  /** A difference smaller than this is of no concern at any certainty; unit of the reading. */
  readonly least: number;
  /**
   * `unknown` where what healthy siblings scatter depends on cables, place and hour, or is chance;
   * usually it is known beforehand: a standard deviation of half of `least`, or of this many units.
   */
  readonly priorScatter?: "unknown" | number;
  /**
   * Set where hum counts in it: where hum is most of it, hum's `least` takes the place of its own.
   * `weighted` where most of the hum is weighted away, so that it is hum's where hiss has no part in it.
   */
  readonly holdsHum?: true | "weighted";
  /** Absent where it parts no family into batches: it depends on cables or chance. */
  readonly batch?: BatchFacet;

  /** Absent where no fault that paths share is recognised by it. */
  readonly shared?: SharedReadingFacet;
  /** How a shared part's share stands in it; absent for one that describes and is left as it is. */
  readonly share?: ShareDomain;
  /** Absent where paths are not told apart by it. */
  readonly recognition?: RecognitionFacet;

  /** Absent where causes are not judged by it. */
  readonly evidence?: EvidenceFacet;
  /** Absent where the level does not matter. */
  readonly levelDependence?: LevelDependence;
  /**
   * Lowest and highest that strong hum in a path can move it by, in its unit: lines fall on
   * harmonics, reach into the hiss, shake what is measured at low level. Absent where it cannot.
   */
  readonly underHum?: readonly [low: number, high: number];

  /**
   * Between two rounds, a change smaller than this is of no concern: a figure in its unit, or a
   * share of the value. `least` when left out.
   */
  readonly leastChange?: number | { readonly share: number };
  /** Which way it moves as a path ages, where that is not `harm`. */
  readonly harmInTime?: HarmDirection;
  /**
   * Which way it stands out of its siblings', where that is not `harm`; said only where no reading of its
   * aspect says as much.
   */
  readonly harmBeside?: HarmDirection;
  /** Set where it depends on where the signal's band ends: signals of another band do not compare. */
  readonly atBandEnd?: true;
  /** Set where it means something else once the round is calibrated, in the same unit. */
  readonly relativeUntilCalibrated?: true;
  /** Absent if it says nothing about age. */
  readonly ageing?: AgeingFacet;
  /**
   * What a change for the worse that all siblings share is put down to: `set-up` for the interface,
   * the run sheet, the temperature; usually age.
   */
  readonly commonChange?: "set-up";
  /** For what paths had in common in a re-test: one and a half times `least` when left out. */
  readonly closing?: ClosingFacet;
  /** Id of the reading beside which a common change of this one says nothing new. */
  readonly repeats?: string;

  /** Set where a summary leaves it out: it describes what another reading says. */
  readonly detail?: true;
  /** Set where it is listed for the interface alone, as what that hides. */
  readonly listedForInterface?: true;

  /** How the interface's own share adds; absent where it has none or is dealt with apart. */
  readonly own?: OwnShare;
  /**
   * How far what several strips give together on one channel may lie above what is expected of it:
   * decibels, or its unit where it is counted. Absent where it is not judged so.
   */
  readonly sumTolerance?: number;
}

/** One row of the registry: what a reading is and how it is made. */
export interface ReadingKind<Id extends string = string> extends ReadingFacets<Id> {
  /** Whether a return can have such a reading at all; every return can when left out. */
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
