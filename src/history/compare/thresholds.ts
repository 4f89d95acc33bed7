import { type CurveKind, findCurveKind } from "../../measure/curve-kinds.js";
import type { HarmDirection } from "../../measure/reading-kind.js";
import { findReadingKind } from "../../measure/reading-kinds.js";
import type { Course } from "./types.js";

/** A smaller difference does not matter, however certain it is; unit of the reading. */
export function getRelevanceThreshold(reading: string, value: number): number {
  const kind = findReadingKind(reading);
  const least = kind?.leastChange ?? kind?.least ?? 0;
  return typeof least === "number" ? least : least.share * Math.abs(value);
}

/**
 * Which way a reading moves as a path ages. Ranking does not judge corners, since the response
 * shows it better; from year to year they show ageing capacitors before the response does.
 */
export function getHarmDirection(reading: string): HarmDirection {
  const kind = findReadingKind(reading);
  return kind?.harmInTime ?? kind?.harm ?? "none";
}

export type CurveThreshold = NonNullable<CurveKind["change"]>;

/** The same for a curve; undefined for one whose points are not at the same frequencies each time. */
export function getCurveThreshold(curve: string): CurveThreshold | undefined {
  return findCurveKind(curve)?.change;
}

/**
 * Whether a change of this sign is for the worse. A change of a reading that should be the same
 * everywhere always is.
 */
export function classifyCourse(harm: HarmDirection, change: number): Course {
  if (harm === "none" || change === 0) return "neither";
  if (harm === "both") return "worse";
  return (harm === "up") === change > 0 ? "worse" : "better";
}
