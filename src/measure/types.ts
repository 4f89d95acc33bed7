import type { Absences } from "./absence.js";
import type { ControlReport } from "./controls/types.js";

/** One measured figure of one path. */
export interface Reading {
  readonly value: number;
  readonly unit: string;
  /** Expanded uncertainty, 95 %, in the unit of the value. */
  readonly uncertainty: number;
  /**
   * The part of `uncertainty` that all paths of a round share, the calibration's: between siblings
   * it cancels. Absent if there is none.
   */
  readonly common?: number;
  /** What set the figure, when it was not the path: the noise floor, the interface. */
  readonly limitedBy?: "noise" | "interface";
  /** Set where the value is a limit that the truth keeps (95 %), not an estimate of it. */
  readonly bound?: "upper" | "lower";
}

/** A figure along an axis, with the uncertainty of each point (95 %). */
export interface Curve {
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly uncertainty: readonly number[];
  readonly xUnit: "Hz";
  readonly yUnit: string;
  /**
   * What the method alone would give at each point, where a curve may drown in it: noise, and for
   * harmonics their neighbours. A harmonic's point that lies at its floor is an upper bound. Unit
   * of `y`.
   */
  readonly floor?: readonly number[];
  /**
   * Positions, from 0, of the points that are upper bounds: the truth lies below them with 95 %
   * probability. Left out if there are none.
   */
  readonly bounds?: readonly number[];
}

export type Readings = Readonly<Record<string, Reading>>;
export type Curves = Readonly<Record<string, Curve>>;

/** The level of a stretch of the signal broke, and came back or not: the desk's doing. */
export interface LevelBreakMark {
  readonly kind: "level-break";
  /** Segment that it lies in. */
  readonly segment: string;
  readonly atS: number;
  readonly untilS: number;
  /** Decibels against the level beside it, negative downwards. */
  readonly levelDb: number;
}

/** A moment of a return that deserves a look; times in seconds of the signal. */
export type ReturnEvent =
  | LevelBreakMark
  | {
      /** An impulse: the desk's, or a disturbance's. */
      readonly kind: "click";
      readonly atS: number;
      /** Peak above the typical peak of the background, decibels. */
      readonly overDb: number;
    }
  | {
      /** Samples that the recorder lost, repeated or held: a fault of the capture. */
      readonly kind: "dropout";
      readonly what: "lost" | "repeated" | "held";
      readonly samples: number;
      /** It lies between `atS` and `untilS`. */
      readonly atS: number;
      readonly untilS: number;
    }
  | {
      /** The converter clipped between these times. */
      readonly kind: "clipped";
      readonly atS: number;
      readonly untilS: number;
    };

/** One step of the level ladder as it came back. */
export interface LevelStep {
  /** Sent level, decibels above nominal. */
  readonly aboveNominalDb: number;
  /** Gain against that of the nominal step, decibels, and its expanded uncertainty (95 %). */
  readonly gainDb: number;
  readonly uncertainty: number;
  /** Harmonics 2 to 10 against the fundamental, decibels; absent where noise hides them. */
  readonly distortionDb?: number;
}

/** All that was measured on one return. */
export interface Measurement {
  readonly readings: Readings;
  /** Readings and curves that could not be made: id to reason. */
  readonly absent: Absences;
  readonly curves: Curves;
  /** Clicks, breaks, dropouts and clipping, in the order of time; absent if there are none. */
  readonly marks?: readonly ReturnEvent[];
  /** The level steps, the lowest first; absent where there are fewer than two. */
  readonly steps?: readonly LevelStep[];
  /** The other side of a bus that was recorded in stereo. */
  readonly partner?: SideMeasurement;
  /** What each control did, of a controls pass; it has no readings. */
  readonly controls?: readonly ControlReport[];
}

/** What was measured on the second side of a stereo bus. */
export interface SideMeasurement {
  readonly side: "left" | "right";
  readonly readings: Readings;
  readonly absent: Absences;
  readonly curves: Curves;
}
