/** How the response differs from the family's median curve, point by point. */
export interface ResponseDeviation {
  readonly x: readonly number[];
  /** Decibels. */
  readonly y: readonly number[];
  readonly spread: readonly number[];
  /** Of the path's own measurement, standard deviations. */
  readonly uncertainty: readonly number[];
  /** How far siblings really scatter, no more being granted; infinite where they are too few. */
  readonly siblings?: readonly number[];
}
