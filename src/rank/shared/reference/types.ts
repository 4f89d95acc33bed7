import type { Measurement } from "../../../measure/types.js";

/** Where the reference path enters: after the summing amplifier, or before it. */
export type ReferencePoint = "insert" | "bus";

/** The path past all strips as it was measured before all other paths and after them. */
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
 * How the level went from the first to the last: at once, as when it is touched; by and by, as while
 * a desk warms up; or in a way that the paths between do not show.
 */
export type DriftCourse = "step" | "creep" | "unclear";

/** What was taken off the level of one path. */
export interface DriftShare {
  readonly db: number;
  /** Expanded (95 %), decibels. */
  readonly uncertainty: number;
  /** The part of it that all siblings share. */
  readonly common: number;
}

/** What the level of a round did while it was recorded. */
export interface LevelDrift {
  /** Last minus first, decibels. */
  readonly changeDb: number;
  /** Expanded, 95 %. */
  readonly uncertaintyDb: number;
  readonly course: DriftCourse;
  /** The first path after a step, in the order of recording; absent for other courses. */
  readonly from?: string;
  /**
   * `taken-off`: the level of each path is as it was at the first turn; `doubted`: nobody knows
   * which paths have how much of it, and nothing was taken off.
   */
  readonly handled: "taken-off" | "doubted";
  /** How far the correction of a path is unknown at most, expanded (95 %), decibels. */
  readonly leftDb: number;
  /** Whether noise and hum moved with the level, as they do where the master or the input is touched. */
  readonly noise: "moves" | "stays";
  /** Path to what was taken off its level; absent where nothing was. Readings are kept as measured. */
  readonly taken?: Readonly<Record<string, DriftShare>>;
}

/** What changed on the reference path from the first to the last turn of a round. */
export interface ReferenceDrift {
  /** Absent where the level held. */
  readonly level?: LevelDrift;
  /** Readings but the level that changed by more than is of no concern. */
  readonly readings: readonly DriftedReading[];
}
