import type { JudgedSum } from "../../rank/sums.js";

/**
 * The judged sum of strips open at once in a re-test. It is a bound: none of them has more than the
 * sum.
 */
export interface SumOutcome extends Pick<JudgedSum, "paths" | "reading" | "unit" | "value"> {
  readonly strips: readonly string[];
  /**
   * What it is compared with: `before`, the same sum in the earlier round; `alone`, their single
   * readings added up; absent if the earlier round has neither.
   */
  readonly against?: "before" | "alone";
  /** In the unit of the value; absent like `against`. */
  readonly expected?: number;
  /** Most excess with which a desk may be closed. */
  readonly most: number;
  /** `unsure`: a strip that got worse could be hidden in it. */
  readonly standing: "within" | "beyond" | "unsure";
}

/** The sum that includes a reading of a path, if it was not measured alone. */
export function findSumOf(
  path: string,
  reading: string,
  sums: readonly SumOutcome[] = [],
): SumOutcome | undefined {
  return sums.find((one) => one.reading === reading && one.paths.includes(path));
}
