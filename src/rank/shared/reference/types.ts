import type { Measurement } from "../../../measure/types.js";

/** Where the reference path enters: after the summing amplifier, or before it. */
export type ReferencePoint = "insert" | "bus";

/** The reference path, measured before and after all other paths. */
export interface ReferenceMeasurements {
  readonly into: ReferencePoint;
  readonly first?: Measurement;
  readonly last?: Measurement;
}

/** A reading, or a curve at one frequency, that changed from the first to the last turn. */
export interface DriftedReading {
  /** Reading id, or the curve's. */
  readonly reading: string;
  readonly first: number;
  readonly last: number;
  /** Last minus first. */
  readonly change: number;
  /** Expanded, 95 %. */
  readonly uncertainty: number;
  readonly unit: string;
  readonly atHz?: number;
}

/**
 * Course of the level from the first to the last turn: `step`, as by a control; `creep`, as while a
 * desk warms up; `unclear` if the paths in between do not show it.
 */
export type DriftCourse = "step" | "creep" | "unclear";

/** Correction of the level of one path. */
export interface DriftShare {
  readonly db: number;
  /** Expanded (95 %), decibels. */
  readonly uncertainty: number;
  /** The part of it that all siblings share. */
  readonly common: number;
}

/** Change of the level during a round. */
export interface LevelDrift {
  /** Last minus first, decibels. */
  readonly changeDb: number;
  /** Expanded, 95 %. */
  readonly uncertaintyDb: number;
  readonly course: DriftCourse;
  /** The first path after a step, in the order of recording; absent for other courses. */
  readonly from?: string;
  /**
   * `taken-off`: the level of each path is corrected to that of the first turn; `doubted`: it is
   * unknown how much applies to which path, and nothing was corrected.
   */
  readonly handled: "taken-off" | "doubted";
  /** Largest expanded uncertainty (95 %) of a path's correction, decibels. */
  readonly leftDb: number;
  /**
   * Whether noise and hum moved with the level, as they do if the master or the input is changed.
   */
  readonly noise: "moves" | "stays";
  /**
   * Path to the correction of its level; absent if there is none. Readings are stored as measured.
   */
  readonly taken?: Readonly<Record<string, DriftShare>>;
}

/** Changes of the reference path from the first to the last turn of a round. */
export interface ReferenceDrift {
  /** Absent if the level was constant. */
  readonly level?: LevelDrift;
  /** Other readings with a relevant change. */
  readonly readings: readonly DriftedReading[];
}
