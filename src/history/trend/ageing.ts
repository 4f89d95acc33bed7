/** A reading that tells of age. */
export interface AgeingIndicator {
  readonly reading: string;
  /**
   * `logarithm`: a corner follows the inverse of a capacitance that shrinks by a share of itself
   * each year. `against-tone`: noise against the tone that came through the same path, so that an
   * interface turned up or down is no ageing. `plain`: decibels as they are.
   */
  readonly scale: "logarithm" | "against-tone" | "plain";
  /** What wears out, as a strip will want it. */
  readonly wants: string;
}

/** In the order in which they are spoken of. */
export const ageingIndicators: readonly AgeingIndicator[] = [
  { reading: "cornerLow", scale: "logarithm", wants: "capacitors" },
  { reading: "thd100", scale: "plain", wants: "capacitors" },
  { reading: "thd", scale: "plain", wants: "a look at its amplifiers" },
  { reading: "noiseA", scale: "against-tone", wants: "quieter input devices" },
  { reading: "noise", scale: "against-tone", wants: "quieter input devices" },
  { reading: "hum", scale: "against-tone", wants: "supply capacitors" },
  { reading: "cornerHigh", scale: "logarithm", wants: "a look at its treble" },
  { reading: "headroom", scale: "plain", wants: "a look at its rails" },
];
