import { median, qn } from "../../dsp/robust.js";
import { minSiblings } from "../../rank/family-stats.js";
import type { Scatter } from "../../rank/robust-stats.js";

/** Siblings this many standard deviations from the densest half do not belong to the crowd. */
const crowdDeviations = 5;
/** Fewer siblings than this have no half dense enough to be distinguished from chance. */
const leastForHalves = 8;
/** Half a width of the densest half, as a standard deviation: 1/Φ⁻¹(3/4), as for the MAD. */
const deviationsPerHalfWidth = 1.4826;
/**
 * Degrees of freedom lost by selecting the crowd, so that chance passes as significant on families
 * of any size as rarely as it is said to (by simulation, in the tests).
 */
const chosen = { crowd: 3, all: 1 } as const;

/**
 * The common change of a family, and its members' scatter about it: median and Qn of those that
 * belong to the densest half, found as the shortest interval that holds half of the values (least
 * median of squares with one step of reweighting, after P. J. Rousseeuw, A. M. Leroy, "Robust
 * Regression and Outlier Detection", 1987, chapter 4; from memory). If half a desk's strips were
 * renewed, a plain median would be between both halves and belong to neither; of two equally dense
 * halves the one closer to no change counts. In small families all members count.
 *
 * @param differences now minus then, of all siblings that were measured in both rounds
 * @param granted standard deviation below which a member is not separated from the others
 * @returns undefined for fewer than three siblings; `count` is the number that the scale is worth
 */
export function computeCommonShift(
  differences: ArrayLike<number>,
  granted: number,
): Scatter | undefined {
  if (differences.length < minSiblings) return undefined;
  const small = differences.length < leastForHalves;
  const crowd = small ? differences : crowdOf(differences, granted);
  const count = Math.max(2, crowd.length - (small ? chosen.all : chosen.crowd));
  return { count, median: median(crowd), scale: qn(crowd) };
}

/** @returns rising */
function crowdOf(differences: ArrayLike<number>, granted: number): Float64Array {
  const { length } = differences;
  const sorted = new Float64Array(differences).sort();
  const half = Math.ceil(length / 2);
  let bestWidth = Number.POSITIVE_INFINITY;
  let bestMiddle = 0;
  for (let first = 0; first + half <= length; first++) {
    const low = sorted[first];
    const high = sorted[first + half - 1];
    const width = high - low;
    const middle = (low + high) / 2;
    // Halves whose widths differ by less than the smallest difference that matters are equally dense.
    const clearly = width < bestWidth - granted;
    const alike = Math.abs(width - bestWidth) <= granted;
    if (!clearly && !(alike && Math.abs(middle) < Math.abs(bestMiddle))) continue;
    bestWidth = width;
    bestMiddle = middle;
  }
  // Small samples make the shortest half too short: the factor of Rousseeuw and Leroy.
  const deviation = deviationsPerHalfWidth * (1 + 5 / (length - 1)) * (bestWidth / 2);
  const reach = crowdDeviations * Math.hypot(deviation, granted);
  let [from, to] = [0, length];
  while (Math.abs(sorted[from] - bestMiddle) > reach) from++;
  while (Math.abs(sorted[to - 1] - bestMiddle) > reach) to--;
  return sorted.subarray(from, to);
}

/** Standard error of a median of normal values against that of their mean: √(π/2). */
const medianError = Math.sqrt(Math.PI / 2);

/** Standard uncertainty of a common shift, from the scatter of those it was found on. */
export function computeShiftError({ count, scale }: Scatter): number {
  return (medianError * scale) / Math.sqrt(count);
}
