import type { Absences } from "./absence.js";
import type { ControlReport } from "./controls/types.js";

/** One measured figure of one path. */
export interface Reading {
  readonly value: number;
  readonly unit: string;
  /** Expanded uncertainty, 95 %, in the unit of the value. */
  readonly uncertainty: number;
  /**
   * The calibration's part of `uncertainty`, shared by all paths of a round: between siblings it
   * cancels. Absent if there is none.
   */
  readonly common?: number;
  /** What limited the value, if not the path: the noise floor, the interface. */
  readonly limitedBy?: "noise" | "interface";
  /** Set if the value is a bound of the true value (95 %), not an estimate. */
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
   * Limit of the method at each point: noise, and for harmonics their neighbours. A harmonic's
   * point at its floor is an upper bound. Unit of `y`.
   */
  readonly floor?: readonly number[];
  /**
   * Positions, from 0, of the points that are upper bounds: the true value is below them with 95 %
   * probability. Absent if there are none.
   */
  readonly bounds?: readonly number[];
}

export type Readings = Readonly<Record<string, Reading>>;
export type Curves = Readonly<Record<string, Curve>>;

/** A break of the level, temporary or not: a fault of the desk. */
export interface LevelBreakMark {
  readonly kind: "level-break";
  /** Segment in which it is. */
  readonly segment: string;
  readonly atS: number;
  readonly untilS: number;
  /** Decibels relative to the level beside it, negative downwards. */
  readonly levelDb: number;
}

/** A notable event of a return; times in seconds of the signal. */
export type ReturnEvent =
  | LevelBreakMark
  | {
      /** An impulse, from the desk or from interference. */
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
      /** It is between `atS` and `untilS`. */
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
  /** Gain relative to that of the nominal step, decibels, and its expanded uncertainty (95 %). */
  readonly gainDb: number;
  readonly uncertainty: number;
  /** Harmonics 2 to 10 relative to the fundamental, decibels; absent if hidden by noise. */
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
  /** The level steps, the lowest first; absent if fewer than two. */
  readonly steps?: readonly LevelStep[];
  /** The other side of a bus that was recorded in stereo. */
  readonly partner?: SideMeasurement;
  /** Results for each control of a controls pass, which has no readings. */
  readonly controls?: readonly ControlReport[];
}

/** Measurements of the second side of a stereo bus. */
export interface SideMeasurement {
  readonly side: "left" | "right";
  readonly readings: Readings;
  readonly absent: Absences;
  readonly curves: Curves;
}
