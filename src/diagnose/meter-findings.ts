import type { CauseKind, MeterPointer } from "./cause-kind.js";
import { causeKinds, describeCause, findCause } from "./causes.js";
import type { Evidence } from "./evidence.js";
import { getTolerance, isOutOfTolerance, type MeterFinding } from "./meter-tolerance.js";
import type { Cause } from "./types.js";

/**
 * Probability of a cause that a meter reading names: a correct reading is conclusive, but readings
 * can be wrong.
 */
const measured = 0.97;

/**
 * The cause that a meter reading names by itself; undefined for a reading that is in order, or
 * whose meaning depends on other evidence (see {@link applyMeterFindings}).
 * @example
 * const phantom = (value) => ({ strip: "7", input: "mic", kind: "phantom", value, nominal: 48 });
 * findMeterCause(phantom(0)).cause; // "phantom-supply-off"
 * findMeterCause(phantom(47)); // undefined
 */
export function findMeterCause(finding: MeterFinding): Cause | undefined {
  const found = findPointedCause(finding, "settles");
  return found && { ...describe(found, finding), probability: measured };
}

/**
 * The cause, shown by a meter reading, that explains another on the same path: a rail out of range
 * explains early clipping.
 *
 * @returns undefined if no reading out of range explains it
 * @example
 * const rail = { strip: "7", kind: "rail", value: 12, nominal: 15 };
 *
 * findExplainingCause("early-clipping", [rail]).cause; // "supply-rail-off"
 * findExplainingCause("open-leg", [rail]); // undefined
 */
export function findExplainingCause(
  cause: string,
  findings: readonly MeterFinding[],
): Cause | undefined {
  for (const finding of findings) {
    const found = findPointedCause(finding);
    if (found?.explains?.includes(cause))
      return findMeterCause(finding) ?? describe(found, finding);
  }
  return undefined;
}

/**
 * The first cause that a reading out of range points to: one that it settles before one that it
 * only makes likelier.
 *
 * @example
 * const rail = { strip: "7", kind: "rail", value: 12, nominal: 15 };
 *
 * findPointedCause(rail).id; // "supply-rail-off"
 * findPointedCause({ ...rail, value: 15.1 }); // undefined
 */
export function findPointedCause(
  finding: MeterFinding,
  weight?: MeterPointer["weight"],
): CauseKind | undefined {
  if (!isOutOfTolerance(finding)) return undefined;
  const weights = weight === undefined ? (["settles", "raises"] as const) : [weight];
  for (const one of weights) {
    const found = causeKinds.find((kind: CauseKind) =>
      kind.meter?.some((pointer) => pointer.weight === one && speaks(pointer, finding)),
    );
    if (found) return found;
  }
  return undefined;
}

function speaks({ kind, when, ...sizes }: MeterPointer, finding: MeterFinding): boolean {
  if (kind !== finding.kind || !isWithin(sizes, finding)) return false;
  return when === "out" || when === (isLow(finding) ? "low" : "high");
}

function isWithin(
  { fromV = 0, belowV = Number.POSITIVE_INFINITY }: Pick<MeterPointer, "fromV" | "belowV">,
  { value }: MeterFinding,
): boolean {
  return Math.abs(value) >= fromV && Math.abs(value) < belowV;
}

const isLow = ({ value, nominal }: MeterFinding) => Math.abs(value) < Math.abs(nominal);

function describe(kind: CauseKind, finding: MeterFinding): Cause {
  const { kind: what, value: volts, nominal } = finding;
  const tolerance = getTolerance(finding);
  return {
    ...describeCause(kind),
    evidence: [{ code: "metered-out", what, volts, nominal, tolerance }],
  };
}

/** Odds in favour and against (common practice, a guess). */
const outFactor = 12;
const inFactor = 0.4;
/**
 * How often a cause that a round names by its effect is due to one that only a meter shows (a
 * guess).
 */
const hiddenShare = 0.1;

/**
 * Adds meter readings to the causes of a path: a reading out of range names its own cause or raises
 * those that explain it, a reading in order lowers them. Probabilities from the round are weighed
 * again (Bayes); what the meter settles by itself is inserted as measured.
 *
 * @param causes of the path, from the round; may be empty
 * @param findings that concern the path: its input's, and those of its whole strip
 * @returns causes, the likeliest first
 * @example
 * const rail = { strip: "7", kind: "rail", value: 12, nominal: 15 };
 *
 * const [first] = applyMeterFindings([], [rail]);
 * first.cause; // "supply-rail-off"
 * first.evidence[0]; // { code: "metered-out", what: "rail", volts: 12, nominal: 15, tolerance: 0.75 }
 * applyMeterFindings([], []); // []
 */
export function applyMeterFindings(
  causes: readonly Cause[],
  findings: readonly MeterFinding[],
): readonly Cause[] {
  const own = findings.flatMap((finding) => findMeterCause(finding) ?? []);
  const weighed = withHidden(causes, findings).map((cause) => weighedBy(cause, findings));
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

/**
 * The causes, completed by those that no round can separate from them: a stage whose output is
 * stuck at a rail passes nothing, like one that is dead for other reasons.
 */
function withHidden(causes: readonly Cause[], findings: readonly MeterFinding[]): readonly Cause[] {
  const pointed = findings.flatMap((finding) => findPointedCause(finding, "raises") ?? []);
  return causes.flatMap((cause) => {
    const { probability } = cause;
    const hidden = pointed.find(({ explains }) => explains?.includes(cause.cause));
    const known = hidden === undefined || causes.some((one) => one.cause === hidden.id);
    if (known || probability === undefined) return [cause];
    const share = hiddenShare * probability;
    return [
      { ...cause, probability: probability - share },
      { ...describeCause(hidden), probability: share, evidence: [] },
    ];
  });
}

function weighedBy(cause: Cause, findings: readonly MeterFinding[]) {
  let weight = cause.probability ?? 0;
  const added: Evidence[] = [];
  const against: Evidence[] = [];
  const pointers = findCause(cause.cause)?.meter?.filter(({ weight: w }) => w === "raises") ?? [];
  for (const finding of findings) {
    const own = pointers.filter(({ kind }) => kind === finding.kind);
    if (own.length === 0) continue;
    const seen = { code: "metered", what: finding.kind, volts: finding.value } as const;
    if (isOutOfTolerance(finding)) {
      if (!own.some((pointer) => speaks(pointer, finding))) continue;
      weight *= outFactor;
      added.push(seen);
    } else {
      weight *= inFactor;
      against.push({ ...seen, isInOrder: true });
    }
  }
  return { cause, weight, added, against };
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
