import type { Round } from "../../history/types.js";
import { readingKinds } from "../../measure/reading-kinds.js";
import type { Reading } from "../../measure/types.js";

/** Names that an expression can use, with their units. */
export interface Vocabulary {
  /** Reading id to unit. */
  readonly readings: ReadonlyMap<string, string>;
  /** Curve name to unit of its figures. */
  readonly curves: ReadonlyMap<string, string>;
  /**
   * `relative`: without a calibration, gain is relative to the signal sent; `absolute`: from socket
   * to output.
   */
  readonly gains: "relative" | "absolute";
  /** Whether the round knows what full scale is in dBu. */
  readonly isCalibrated: boolean;
}

/** The curve that every round with a return has. */
const [usualCurve, usualUnit] = ["response", "dB"];

/**
 * All readings and curves, with their units in a round: levels are in dBFS or, once calibrated, in
 * dBu. Readings missing in the round have the unit of the registry.
 */
export function listVocabulary(round: Round): Vocabulary {
  const readings = new Map<string, string>(readingKinds.map(({ id, unit }) => [id, unit]));
  const curves = new Map<string, string>();
  for (const path of round.paths) {
    for (const [id, { unit }] of entries<Reading>(path.readings)) readings.set(id, unit);
    for (const name in path.curves) {
      // One unit a round. A curve that was kept apart is read by looking at it.
      if (!curves.has(name)) curves.set(name, path.curves[name].yUnit);
    }
  }
  if (!curves.has(usualCurve)) curves.set(usualCurve, usualUnit);
  const isCalibrated = round.calibration !== null;
  return { readings, curves, gains: isCalibrated ? "absolute" : "relative", isCalibrated };
}

function entries<T>(record: Readonly<Record<string, T>>): readonly [string, T][] {
  return Object.entries(record);
}
