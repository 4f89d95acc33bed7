import type { Severity } from "./types.js";

/**
 * Significance (standard normal) from which a difference is reported. A round of 72 paths holds
 * some 800 judged figures: the chance that any healthy one reaches `watch` is near 1 in 30, and 1
 * in 2000 for `service`, before the practical floor halves the rest.
 */
const significant = { remark: 3.5, watch: 4.1, service: 5 } as const;

/** `service` also needs a difference of this many practical floors. */
export const serviceFloors = 1.5;

/**
 * Factor on the practical floor in a family of this many siblings: with three, two that happen to
 * be close make any third an outlier.
 *
 * @example
 * getThresholdFactor(3); // 3
 * getThresholdFactor(24); // 1
 */
export function getThresholdFactor(siblings: number): number {
  if (siblings <= 3) return 3;
  return siblings <= 5 ? 2 : 1;
}

/**
 * Severity of a difference; undefined for none.
 *
 * @param significance standard normal value of the difference
 * @param deviation the difference, in the reading's unit
 * @param least smallest difference that matters, same unit
 *
 * @param harmful whether it is in the direction of harm
 * @example
 * classifySeverity(8, 6, 3, true); // "service"
 * classifySeverity(8, 6, 3, false); // "remark"
 * classifySeverity(8, 1, 3, true); // undefined
 */
export function classifySeverity(
  significance: number,
  deviation: number,
  least: number,
  harmful: boolean,
): Severity | undefined {
  const size = Math.abs(significance);
  const difference = Math.abs(deviation);
  if (size < significant.remark || difference < least) return undefined;
  if (!harmful) return "remark";
  if (size >= significant.service && difference >= serviceFloors * least) return "service";
  return size >= significant.watch ? "watch" : "remark";
}
