import type { HarmDirection } from "../../measure/reading-kind.js";
import { type Scatter, scoreDeviation } from "../../rank/robust-stats.js";
import { classifyCourse } from "./thresholds.js";
import type { Change, Course } from "./types.js";

/**
 * Score (standard normal) from which a change is significant. Two rounds of 72 paths give some 2000
 * comparisons: by chance about one in 2000 is as large.
 */
export const realSignificance = 3.5;

/**
 * Day-to-day scatter assumed for every reading, as a share of the smallest relevant difference: a
 * tenth if siblings show the rest, a quarter if there are too few siblings.
 */
const grantedShare = { shown: 1 / 10, unshown: 1 / 4 } as const;

/** The scatter of fewer siblings than this may be small by chance. */
const leastToShow = 6;

/** The scatter of a change that is assumed beforehand: less where enough siblings show theirs. */
export function computeAssumedScatter(least: number, crowd: Scatter | undefined): number {
  const shown = crowd !== undefined && crowd.count >= leastToShow;
  return least * (shown ? grantedShare.shown : grantedShare.unshown);
}

/** The same for the common change of siblings: the day affects all of them equally. */
export function computeAssumedShift(least: number): number {
  return least * grantedShare.shown;
}

/** A difference of one path, with all its known uncertainties. */
export interface PathDifference {
  readonly difference: number;
  /** Expanded uncertainty (95 %) of the difference by the two measurements. */
  readonly measured: number;
  /** Standard deviation between repeated takes of both rounds together; 0 if unknown. */
  readonly repeat: number;
  readonly least: number;
  readonly bound?: "upper" | "lower";
}

/**
 * Judges one path's difference against the change of its family.
 *
 * Its own change is the difference minus the common shift. It is compared with the uncertainty of
 * both measurements, the repeatability and the scatter of the siblings' differences, in quadrature
 * (JCGM 100, 5.1.2); a scatter of few siblings counts for less, as in ranking.
 *
 * @param crowd the change of the family; undefined if there are too few siblings
 */
export function judgeChange(
  { difference, measured, repeat, least, bound }: PathDifference,
  crowd: Scatter | undefined,
): Omit<Change, "course"> {
  const around = crowd ?? noCrowd;
  const granted = computeAssumedScatter(least, crowd);
  const found = scoreDeviation(difference, around, measured, Math.hypot(granted, repeat));
  const { deviation: own, spread, significance } = found;
  const real = isReal(own, significance, bound);
  const uncertainty = 2 * spread;
  const change =
    crowd === undefined
      ? { difference, own, uncertainty, significance, real }
      : { difference, shift: crowd.median, own, uncertainty, significance, real };
  return bound === undefined ? change : { ...change, bound };
}

/** Replaces the family's change if there are too few siblings to show it. */
export const noCrowd: Scatter = { count: 2, median: 0, scale: 0 };

/** Whether a change is more than chance; a bound counts only in its own direction. */
export function isReal(own: number, significance: number, bound: Change["bound"]): boolean {
  const told = bound === undefined || (bound === "lower" ? own > 0 : own < 0);
  return told && Math.abs(significance) >= realSignificance;
}

/** A path's deviation from its siblings. */
export interface ReadingLocation {
  readonly offThen: number;
  readonly offNow: number;
}

/**
 * Whether a change is for the worse. A reading that should match its siblings' improves by coming
 * closer to them; without siblings any change of it is for the worse.
 */
export function classifyCourseAt(
  harm: HarmDirection,
  own: number,
  place: ReadingLocation | undefined,
): Course {
  const course = classifyCourse(harm, own);
  if (harm !== "both" || course === "neither" || place === undefined) return course;
  return Math.abs(place.offNow) < Math.abs(place.offThen) ? "better" : "worse";
}
