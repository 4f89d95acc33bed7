/** How the response differs from the family's median curve, point by point. */
export interface ResponseDeviation {
  readonly x: readonly number[];
  /** Decibels. */
  readonly y: readonly number[];
  readonly spread: readonly number[];
  /** Standard uncertainty of the path's own measurement. */
  readonly uncertainty: readonly number[];
  /**
   * The siblings' actual scatter, without the practical threshold; infinite if there are too few.
   */
  readonly siblings?: readonly number[];
}
