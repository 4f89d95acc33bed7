import type { Reading } from "./types.js";

type Doubt = Pick<Reading, "uncertainty" | "common">;

/**
 * The square of a reading's uncertainty without the calibration's part, which all paths of a round
 * share: between them it cancels (JCGM 100, 5.2).
 *
 * @example
 * getOwnVariance({ uncertainty: 5, common: 4 }); // 9
 */
export function getOwnVariance({ uncertainty, common = 0 }: Doubt): number {
  return Math.max(0, uncertainty ** 2 - common ** 2);
}

/**
 * A reading's uncertainty (95 %) without the part that all paths of a round share.
 *
 * @example
 * getOwnUncertainty({ uncertainty: 5, common: 4 }); // 3
 * getOwnUncertainty({ uncertainty: 0.5 }); // 0.5
 */
export function getOwnUncertainty(reading: Doubt): number {
  return Math.sqrt(getOwnVariance(reading));
}
