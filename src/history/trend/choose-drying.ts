import type { AgeingFacet } from "../../measure/reading-kind.js";
import {
  addPace,
  computeDryingCrossing,
  type DatedCrossing,
  type DryingLaw,
  fitDrying,
  leaveOpen,
  weighLaws,
} from "./drying.js";
import type { SeriesPoint } from "./series.js";
import {
  computeCrossing,
  estimateLineScatter,
  type ScatterEstimate,
  type TrendLine,
} from "./trend-line.js";

/**
 * How far the farthest point lies off the law that comes nearest to all of them, nepers.
 *
 * @returns undefined across an epoch's border, where nothing follows a law of parts, and where none
 *   fits
 */
export function distanceFromDrying(
  points: readonly SeriesPoint[],
  soundY: number,
): number | undefined {
  if (points.some(({ epoch }) => epoch !== points[0].epoch)) return undefined;
  const laws = fitDrying(points, soundY);
  return laws.length === 0 ? undefined : Math.min(...laws.map(({ farthest }) => farthest));
}

/** Laws of a drying capacitor, if they fit better than a straight line, with their uncertainty. */
export interface Drying {
  readonly laws: readonly DryingLaw[];
  readonly weights: readonly number[];
  readonly scatter: ScatterEstimate;
  readonly best: DryingLaw;
  /** The line restarted and is straight over its stretches: it gives the value and the slope. */
  readonly straight: boolean;
}

/**
 * The likeliest of the laws that were fitted to a path's last stretch, beside the line through all
 * of them.
 *
 * @param laws one at least
 * @param family how far points of all siblings scatter about their lines
 * @param siblings how many there are
 * @returns undefined for a healthy capacitor: of that nothing is known but the line
 */
export function chooseDrying(
  laws: readonly DryingLaw[],
  line: TrendLine,
  family: ScatterEstimate,
  siblings: number,
): Drying | undefined {
  const best = laws.reduce((a, b) => (b.squares < a.squares ? b : a));
  if (!(best.line.slope > leastDrying)) return undefined;
  const pooled = estimateLineScatter(best.line, family, siblings);
  const bend = Math.sqrt(line.squares / line.freedom);
  const straight = best.line.points < line.points && bend < bentFrom * pooled.deviation;
  const { freedom } = best.line;
  // If it departs from its law on its own, steady siblings do not make it more certain.
  const own = { deviation: Math.sqrt(best.squares / freedom), freedom };
  const scatter = own.deviation > pooled.deviation ? own : pooled;
  return { laws, weights: weighLaws(laws, scatter.deviation), scatter, best, straight };
}

/** This many deviations from a line are not chance: the course is curved. */
const bentFrom = 2;
/** What dries more slowly is described just as well by a line, nepers per year. */
const leastDrying = 0.02;

/** The time at which a path comes to a height on the series' scale, by its drying or else its line. */
export function createCrossing(
  line: TrendLine,
  doubt: ScatterEstimate,
  drying: Drying | undefined,
  ageing: Pick<AgeingFacet, "law">,
): (height: number) => DatedCrossing | undefined {
  return (height) => {
    if (drying === undefined) {
      const along = computeCrossing(line, doubt, height);
      return ageing.law === "drying" && along !== undefined ? leaveOpen(addPace(along)) : along;
    }
    const { laws, weights, scatter, straight } = drying;
    const bent = computeDryingCrossing(laws, weights, scatter, height);
    if (!straight) return bent;
    // The date is that of the part that is in now; what the line knows of earlier ones is not ruled out.
    const along = computeCrossing(line, doubt, height);
    if (along === undefined || bent === undefined) return undefined;
    const { from, until } = addPace(along);
    return {
      ...bent,
      from: Math.min(from, bent.from),
      until: Math.max(until, bent.until),
    };
  };
}
