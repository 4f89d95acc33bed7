/** A voltage measured by hand and kept in the notebook: evidence from outside a round. */
export interface MeterFinding {
  readonly strip: string;
  /** Absent if it belongs to the whole strip. */
  readonly input?: string;
  /**
   * `phantom`: from a pin of the socket to ground; `rail`: supply at the strip, with its sign;
   * `direct`: DC voltage on a control, switch or socket where there should be none.
   */
  readonly kind: "phantom" | "rail" | "direct";
  /** Volts. */
  readonly value: number;
  /** Expected value, volts; 0 for `direct`. */
  readonly nominal: number;
  /** Tolerance, volts; the usual one of its kind if absent. */
  readonly tolerance?: number;
}

/**
 * Phantom supplies by nominal voltage: tolerance, volts, and the feed resistor of each pin, ohms
 * (IEC 61938; from memory).
 */
export const phantomSupplies = {
  48: { toleranceV: 4, feedOhm: 6800 },
  24: { toleranceV: 4, feedOhm: 1200 },
  12: { toleranceV: 1, feedOhm: 680 },
} as const;
/** How closely the two feed resistors of an input must match (IEC 61938; from memory). */
export const feedMatch = 0.004;

/**
 * The supply of a nominal voltage; undefined if the standard has no such voltage.
 *
 * @example
 * findPhantomSupply(48).feedOhm; // 6800
 * findPhantomSupply(36); // undefined
 */
export function findPhantomSupply(
  nominalV: number,
): (typeof phantomSupplies)[keyof typeof phantomSupplies] | undefined {
  return Object.hasOwn(phantomSupplies, nominalV)
    ? phantomSupplies[nominalV as keyof typeof phantomSupplies]
    : undefined;
}

/** Relative tolerance of a regulated rail (common practice). */
const railShare = 0.05;
/**
 * A lower voltage on a control is inaudible when it is turned, if no gain follows (common
 * practice), volts.
 */
const directVolts = 0.02;

/**
 * The tolerance of a reading, volts.
 *
 * @example
 * getTolerance({ strip: "7", kind: "phantom", value: 45, nominal: 48 }); // 4
 * getTolerance({ strip: "7", kind: "rail", value: 15, nominal: -15 }); // 0.75
 */
export function getTolerance({ kind, nominal, tolerance }: MeterFinding): number {
  if (tolerance !== undefined) return tolerance;
  if (kind === "rail") return railShare * Math.abs(nominal);
  if (kind === "direct") return directVolts;
  return findPhantomSupply(nominal)?.toleranceV ?? nominal / 12;
}

/**
 * Whether a meter reading is out of tolerance.
 *
 * @example
 * isOutOfTolerance({ strip: "7", kind: "phantom", value: 43, nominal: 48 }); // true
 * isOutOfTolerance({ strip: "7", kind: "phantom", value: 44.5, nominal: 48 }); // false
 */
export function isOutOfTolerance(finding: MeterFinding): boolean {
  return Math.abs(finding.value - finding.nominal) > getTolerance(finding);
}
