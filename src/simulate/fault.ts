/** A fault of a part, as a change of its value. */
export interface Fault<Values> {
  readonly kind: "fault" | "setting" | "patch";
  /** Plain words. */
  readonly what: string;
  /** The part whose value changes. */
  readonly part: string;
  readonly apply: (values: Values, severity: number) => Values;
  /** The changed value in words. */
  readonly show: (values: Values) => string;
}

/** From the mildest value that a round should show to a gross one, in equal ratios. */
export function interpolateGeometric(mild: number, gross: number, severity: number): number {
  return mild * (gross / mild) ** severity;
}
