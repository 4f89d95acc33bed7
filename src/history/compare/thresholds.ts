import type { HarmDirection } from "../../measure/reading-kind.js";
import { findReadingKind } from "../../measure/reading-kinds.js";
import type { Course } from "./types.js";

/** How much of itself a corner may move before anybody need care. */
const cornerShare = 0.15;

/** Floors of readings that ranking leaves alone, in their unit. */
const floors: Readonly<Record<string, number>> = {
  level: 0.7,
  orderLow: 0.5,
  orderHigh: 0.5,
  clipSide: 1,
  mains: 0.2,
  dc: 0.5,
  noiseSlope: 1,
};

/** A difference smaller than this is of no concern at any certainty; unit of the reading. */
export function getRelevanceThreshold(reading: string, value: number): number {
  if (reading === "cornerLow" || reading === "cornerHigh") return cornerShare * Math.abs(value);
  const least = findReadingKind(reading)?.least ?? 0;
  if (least > 0) return least;
  return floors[reading] ?? (/^(harmonic|imd|hum)/.test(reading) ? 4 : 0);
}

/**
 * Which way a reading moves as a path ages. Ranking does not judge corners, as the response says it
 * better; from year to year they tell of capacitors before the response does.
 */
export function getHarmDirection(reading: string): HarmDirection {
  if (reading === "cornerLow") return "up";
  if (reading === "cornerHigh") return "down";
  return findReadingKind(reading)?.harm ?? "none";
}

export interface CurveThreshold {
  /** A difference smaller than this is of no concern, decibels. */
  readonly least: number;
  readonly harm: HarmDirection;
}

/** The same for a curve; undefined for one whose points are not at the same frequencies each time. */
export function getCurveThreshold(curve: string): CurveThreshold | undefined {
  if (curve === "response") return { least: 0.6, harm: "both" };
  if (curve === "distortion") return { least: 4, harm: "up" };
  if (curve.startsWith("harmonic")) return { least: 4, harm: "none" };
  if (curve === "noise") return { least: 3, harm: "up" };
  if (curve.startsWith("crosstalk")) return { least: 6, harm: "up" };
  return undefined;
}

/** Whether a change of this sign is one for the worse. A change of what should be alike always is. */
export function classifyCourse(harm: HarmDirection, change: number): Course {
  if (harm === "none" || change === 0) return "neither";
  if (harm === "both") return "worse";
  return (harm === "up") === change > 0 ? "worse" : "better";
}
