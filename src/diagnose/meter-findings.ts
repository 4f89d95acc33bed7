import type { Cause } from "./types.js";

/** A voltage measured by hand, as the notebook keeps it: evidence from outside a round. */
export interface MeterFinding {
  readonly strip: string;
  /** Absent where it belongs to the strip as a whole. */
  readonly input?: string;
  /**
   * `phantom`: from a pin of the socket to ground; `rail`: supply at the strip, with its sign;
   * `direct`: direct voltage on a control, switch or socket where there ought to be none.
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
 * Tolerances of phantom supplies by nominal voltage (IEC 61938; values written from memory).
 */
const phantomTolerances: readonly (readonly [nominal: number, tolerance: number])[] = [
  [48, 4],
  [24, 4],
  [12, 1],
];
/** A regulated rail keeps to this share (common practice). */
const railShare = 0.05;
/** Less than this on a control is not heard when it is turned (common practice), volts. */
const directVolts = 0.02;

/** Volts that a reading may be off and still be in order. */
export function getTolerance({ kind, nominal, tolerance }: MeterFinding): number {
  if (tolerance !== undefined) return tolerance;
  if (kind === "rail") return railShare * Math.abs(nominal);
  if (kind === "direct") return directVolts;
  const listed = phantomTolerances.find(([volts]) => volts === nominal);
  return listed ? listed[1] : nominal / 12;
}

/** Whether what the meter showed is out of its range. */
export function isOutOfTolerance(finding: MeterFinding): boolean {
  return Math.abs(finding.value - finding.nominal) > getTolerance(finding);
}

/** A meter that is read rightly settles the matter but for a slip of the hand. */
const measured = 0.97;

/**
 * The cause that a meter reading names by itself; none for one that is in order, or whose
 * meaning depends on what else is seen (see {@link applyMeterFindings}).
 */
export function findMeterCause(finding: MeterFinding): Cause | undefined {
  if (!isOutOfTolerance(finding) || finding.kind === "direct") return undefined;
  const { value, nominal } = finding;
  const low = Math.abs(value) < Math.abs(nominal);
  const evidence = [
    `${volts(value)} measured, ${volts(nominal)} ± ${volts(getTolerance(finding))} wanted${finding.kind === "phantom" ? " (IEC 61938)" : ""}`,
  ];
  if (finding.kind === "rail") {
    return {
      cause: "supply-rail-off",
      name: "supply rail out of range at the strip",
      kind: "fault",
      probability: measured,
      evidence,
      confirmBy:
        "measure the rail at the next strip and where it leaves the supply: low here alone is this strip's feed, low everywhere is the supply",
      ready: "the strip's supply fuse or feed resistors, its decoupling electrolytics",
      care: "rails are measured under power: leave supply and mains work to licensed people and follow local codes",
    };
  }
  return {
    cause: "phantom-supply-off",
    name: "phantom supply out of range",
    kind: "fault",
    probability: measured,
    evidence,
    confirmBy:
      "measure pin 2 and pin 3 to pin 1 with nothing plugged in, then the same at the next strip: one pin off is its feed resistor, both off here alone the switch or the strip's feed, off everywhere the supply",
    ready: low
      ? "the phantom switch, a matched pair of feed resistors (within 0.4 % of each other)"
      : "a matched pair of feed resistors (within 0.4 % of each other); parts of the supply's regulator",
    care: "unplug microphones first; the supply stays charged after switch-off: supply work is for licensed people",
  };
}

/** What a meter reading that is out does to the odds of causes found by ear of the round. */
const raised: Readonly<Record<MeterFinding["kind"], readonly string[]>> = {
  phantom: [],
  rail: ["early-clipping", "supply-ripple"],
  direct: ["leaky-capacitor"],
};
/** Odds in favour and against (common practice, a guess). */
const outFactor = 12;
const inFactor = 0.4;

/**
 * Brings meter readings into the causes of a path: one that is out names its own cause or raises
 * those that explain it, one that is in order lowers them. Probabilities of what the round found
 * are weighed anew (Bayes); what the meter settles by itself is put in as measured.
 *
 * @param causes of the path, as a round has them; may be empty
 * @param findings that concern the path: its input's, and those of its whole strip
 * @returns causes, the likeliest first
 */
export function applyMeterFindings(
  causes: readonly Cause[],
  findings: readonly MeterFinding[],
): readonly Cause[] {
  const own = findings.flatMap((finding) => findMeterCause(finding) ?? []);
  const weighed = causes.map((cause) => weighedBy(cause, findings));
  const before = sum(causes.map(({ probability = 0 }) => probability));
  const after = sum(weighed.map(({ weight }) => weight)) + Math.max(0, 1 - before);
  const rest = weighed.map(({ cause, weight, added, against }): Cause => {
    const probability =
      cause.probability === undefined ? undefined : Math.round((100 * weight) / after) / 100;
    return {
      ...cause,
      ...(probability === undefined ? {} : { probability: Math.min(0.99, probability) }),
      evidence: [...cause.evidence, ...added],
      ...(against.length > 0 ? { against: [...(cause.against ?? []), ...against] } : {}),
    };
  });
  const all = [
    ...own.filter((one, i) => own.findIndex((o) => o.cause === one.cause) === i),
    ...rest,
  ];
  return all.sort((a, b) => (b.probability ?? 0) - (a.probability ?? 0));
}

function weighedBy(cause: Cause, findings: readonly MeterFinding[]) {
  let weight = cause.probability ?? 0;
  const added: string[] = [];
  const against: string[] = [];
  for (const finding of findings) {
    if (!raised[finding.kind].includes(cause.cause)) continue;
    const words = `${meterNames[finding.kind]} ${volts(finding.value)} by the meter`;
    if (isOutOfTolerance(finding)) {
      weight *= outFactor;
      added.push(words);
    } else {
      weight *= inFactor;
      against.push(`${words}: in order`);
    }
  }
  return { cause, weight, added, against };
}

const meterNames: Readonly<Record<MeterFinding["kind"], string>> = {
  phantom: "phantom supply",
  rail: "supply rail",
  direct: "direct voltage",
};

function volts(value: number): string {
  const size = Math.abs(value);
  const text =
    size < 1 ? `${Number((1000 * size).toPrecision(3))} mV` : `${Number(size.toPrecision(3))} V`;
  return value < 0 ? `−${text}` : text;
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
