import type { JudgedSum } from "../../rank/sums.js";

/**
 * What strips that were open at once gave together in a re-test. It gives a bound: none of them has
 * more than all of them together.
 */
export interface SumOutcome extends Pick<JudgedSum, "paths" | "reading" | "unit" | "value"> {
  readonly strips: readonly string[];
  /**
   * What it may be: `before`, what the same strips gave together in the earlier round; `alone`, what
   * they had one by one, added up; absent where the earlier round has neither.
   */
  readonly against?: "before" | "alone";
  /** In the unit of the value; absent like `against`. */
  readonly expected?: number;
  /** Beyond that by so much a desk is not closed. */
  readonly most: number;
  /** `unsure`: a strip that got worse could be hidden in it. */
  readonly standing: "within" | "beyond" | "unsure";
}

/** The sum that holds a reading of a path, where it was not heard alone. */
export function findSumOf(
  path: string,
  reading: string,
  sums: readonly SumOutcome[] = [],
): SumOutcome | undefined {
  return sums.find((one) => one.reading === reading && one.paths.includes(path));
}
