/** A voltage measured by hand, as the notebook keeps it: evidence from outside a round. */
export interface MeterFinding {
  readonly strip: string;
  /** Absent where it belongs to the strip as a whole. */
  readonly input?: string;
  /**
   * `phantom`: from a pin of the socket to ground; `rail`: supply at the strip, with its sign;
   * `direct`: DC voltage on a control, switch or socket where there ought to be none.
   */
  readonly kind: "phantom" | "rail" | "direct";
  /** Volts. */
  readonly value: number;
  /** Volts it ought to be; 0 for `direct`. */
  readonly nominal: number;
  /** Volts it may be off; the usual for its kind when absent. */
  readonly tolerance?: number;
}

/**
 * Phantom supplies by nominal voltage: what it may be off, volts, and the resistor that feeds each
 * pin, ohms (IEC 61938; from memory).
 */
export const phantomSupplies = {
  48: { toleranceV: 4, feedOhm: 6800 },
  24: { toleranceV: 4, feedOhm: 1200 },
  12: { toleranceV: 1, feedOhm: 680 },
} as const;
/** How well the two feed resistors of an input must match (IEC 61938; from memory). */
export const feedMatch = 0.004;

/**
 * The supply of a nominal voltage; none where the standard knows no such voltage.
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

/** A regulated rail keeps to this share (common practice). */
const railShare = 0.05;
/**
 * Less than this on a control is not heard when it is turned, if no gain follows it (common
 * practice), volts.
 */
const directVolts = 0.02;

/**
 * Volts that a reading may be off and still be in order.
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
 * Whether what the meter showed is out of its range.
 *
 * @example
 * isOutOfTolerance({ strip: "7", kind: "phantom", value: 43, nominal: 48 }); // true
 * isOutOfTolerance({ strip: "7", kind: "phantom", value: 44.5, nominal: 48 }); // false
 */
export function isOutOfTolerance(finding: MeterFinding): boolean {
  return Math.abs(finding.value - finding.nominal) > getTolerance(finding);
}
