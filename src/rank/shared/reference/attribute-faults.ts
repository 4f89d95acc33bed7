import { median } from "../../../dsp/robust.js";
import { getReadingId } from "../../../measure/reading-kinds.js";
import type { Measurement } from "../../../measure/types.js";
import type { PathToRank } from "../../family-stats.js";
import { aspectFacets } from "../aspect-facets.js";
import { mechanisms, type Row, rows } from "../rows.js";
import type { PlacedInput, SharedFault, SharedFinding, SharedPart } from "../types.js";
import type { ReferenceMeasurements, ReferencePoint } from "./types.js";

/** Readings of the reference path about faults shared by all paths. */
export interface ReferenceEvidence {
  readonly now: ReferenceMeasurements;
  /** That of the earlier round, if it entered at the same place and had the same unit. */
  readonly earlier?: ReferenceMeasurements;
  /** Level at the mix output at nominal, dBu; absent without a calibration. */
  readonly outputDbu?: number;
}

/** Shares of the added power that the reference path must have to show it, or to be clean. */
const ofPower = { shows: 0.4, clean: 0.1 } as const;
/** The same of a loss or a change of the level, in decibels. */
const ofShift = { shows: 0.6, clean: 0.25 } as const;
/**
 * Decibels; if the reference path clips this much later than the others, it does not limit them.
 */
const ofHeadroomDb = { shows: 1.5, clean: 3 } as const;
/** In practical floors of a row; smaller changes of the reference path alone are not reported. */
const leastFloors = 1.3;

/**
 * Locates each fault shared by all paths relative to the entry of the reference path: if the
 * reference path shows it, it is after the entry, otherwise in the bus or the strips. Adds faults
 * that only the reference path shows, because the strips' noise hides them.
 *
 * @param faults of the desk as a whole or of all paths of an input
 * @param paths all paths of the round
 * @example
 * const of = (value) => ({
 *   readings: { polarity: { value, unit: "", uncertainty: 0 } },
 *   absent: {},
 *   curves: {},
 * });
 * const strips = ["1", "2", "3", "4"];
 * const paths = strips.map((strip) => ({
 *   path: `${strip}/mic`,
 *   strip,
 *   input: "mic",
 *   family: "mic",
 *   measurement: of(-1),
 * }));
 * const finding = { reading: "polarity", deviation: -2, unit: "", value: -1, expected: 1 };
 * const fault = {
 *   part: { kind: "master" },
 *   paths: paths.map(({ path }) => path),
 *   findings: [finding],
 *   aspect: "polarity",
 *   against: "baseline",
 *   severity: "service",
 * };
 * const evidence = { now: { into: "bus", first: of(-1) }, earlier: { into: "bus", first: of(1) } };
 * const [told] = attributeFaults([fault], paths, evidence);
 * told.reference; // "shows"
 */
export function attributeFaults(
  faults: readonly SharedFault[],
  paths: readonly PlacedInput[],
  evidence: ReferenceEvidence,
): readonly SharedFault[] {
  const placed = faults.map((fault): SharedFault => {
    if (fault.against !== "expectation" && fault.against !== "baseline") return fault;
    const reference = judgeFault(fault, paths, evidence);
    if (reference === undefined) return fault;
    const part = placePart(fault, reference, evidence.now.into);
    return { ...fault, part, reference };
  });
  const alone = listOwnFaults(paths, evidence).filter(
    ({ aspect }) =>
      !placed.some(
        (one) => one.reference !== "clean" && mechanismOf(one.aspect) === mechanismOf(aspect),
      ),
  );
  return [...placed, ...alone];
}

type Verdict = NonNullable<SharedFault["reference"]>;

function judgeFault(
  fault: SharedFault,
  paths: readonly PlacedInput[],
  evidence: ReferenceEvidence,
): Verdict | undefined {
  const [finding] = fault.findings;
  const row = finding && findRow(finding);
  if (row === undefined) return undefined;
  const { now, earlier } = evidence;
  const is = readReference(row, now);
  if (is === undefined) return undefined;
  const was = fault.against === "baseline" && earlier ? readReference(row, earlier) : undefined;
  const members = new Set(fault.paths);
  const own = paths.filter(({ path }) => members.has(path));
  if (row.expected === "headroomDb") {
    const later = is.value - finding.value;
    if (later <= ofHeadroomDb.shows) return "shows";
    return later >= ofHeadroomDb.clean ? "clean" : "partly";
  }
  if (row.unit === "dB" && row.harm === "up") {
    return judgePower(finding, row, { is, was, own, evidence, against: fault.against });
  }
  const change = was === undefined ? fromIdeal(row, is.value, evidence) : is.value - was.value;
  const whole =
    fault.against === "baseline" || row.aspect === "level" ? finding.deviation : finding.value;
  if (change === undefined || whole === 0) return undefined;
  return grade(change / whole, ofShift);
}

interface PowerContext {
  readonly is: ReferenceFigure;
  readonly was: ReferenceFigure | undefined;
  readonly own: readonly PlacedInput[];
  readonly evidence: ReferenceEvidence;
  readonly against: SharedFault["against"];
}

/** Judges by the reference path's share of the power added to the others. */
function judgePower(
  { value, expected }: SharedFinding,
  row: Row,
  { is, was, own, evidence, against }: PowerContext,
): Verdict | undefined {
  const power = (db: number) => 10 ** ((db - value) / 10);
  // Corrects floors for the level difference; readings relative to the tone need no correction.
  const isLevel = aspectFacets[row.aspect].adds === "floor";
  const apart = isLevel ? levelApart(own, evidence.now) : 0;
  const apartThen = isLevel && evidence.earlier ? levelApart(own, evidence.earlier) : apart;
  const added = against === "baseline" ? 1 - power(expected) : 1;
  if (added <= 0) return undefined;
  const before = was === undefined ? 0 : power(was.value - apartThen);
  const share = Math.max(0, power(is.value - apart) - before) / added;
  const verdict = grade(share, ofPower);
  return is.isBound && verdict !== "clean" ? undefined : verdict;
}

function grade(share: number, { shows, clean }: { shows: number; clean: number }): Verdict {
  if (share >= shows) return "shows";
  return share <= clean ? "clean" : "partly";
}

interface ReferenceFigure {
  readonly value: number;
  readonly isBound: boolean;
}

/**
 * The reference path's value in a row: of its first turn for levels, otherwise the mean of both.
 */
function readReference(row: Row, reference: ReferenceMeasurements): ReferenceFigure | undefined {
  const turns = [reference.first, reference.last].flatMap((one) => (one ? [toPath(one)] : []));
  const told = turns.flatMap((path) => {
    const value = row.read(path);
    return value === undefined ? [] : [{ value, isBound: row.isBound(path) }];
  });
  const [first] = told;
  if (first === undefined || row.aspect === "level") return first;
  return {
    value: told.reduce((sum, { value }) => sum + value, 0) / told.length,
    isBound: told.some(({ isBound }) => isBound),
  };
}

const toPath = (measurement: Measurement): PathToRank => ({ path: "", family: "", measurement });

function findRow({ reading, atHz }: SharedFinding): Row | undefined {
  return rows.find((row) => row.reading === reading && row.atHz === atHz);
}

/** Level of the reference path relative to the other paths, decibels. */
function levelApart(own: readonly PlacedInput[], { first, last }: ReferenceMeasurements): number {
  const level = (first ?? last)?.readings[getReadingId("level")]?.value;
  const levels = own.flatMap(
    ({ measurement }) => measurement?.readings[getReadingId("level")]?.value ?? [],
  );
  return level === undefined || levels.length === 0 ? 0 : level - median(levels);
}

/** Deviation of the reference path from its expected value, without an earlier round. */
function fromIdeal(
  { aspect }: Row,
  value: number,
  { now, outputDbu }: ReferenceEvidence,
): number | undefined {
  if (aspect === "bass" || aspect === "treble") return value;
  if (aspect !== "level" || outputDbu === undefined) return undefined;
  const level = (now.first ?? now.last)?.readings[getReadingId("level")];
  return level?.unit === "dBu" ? level.value - outputDbu : undefined;
}

const before: Readonly<Record<ReferencePoint, SharedPart>> = {
  insert: { kind: "bus", name: "mix bus, or all strips alike" },
  bus: { kind: "bank", name: "all strips alike" },
};
const after: Readonly<Record<ReferencePoint, SharedPart>> = {
  insert: { kind: "master", name: "master output, cable or interface" },
  bus: { kind: "master", name: "mix bus, master or interface" },
};

/** The part on one side of the reference path's entry. */
function placePart(
  { part, aspect }: SharedFault,
  verdict: Verdict,
  into: ReferencePoint,
): SharedPart {
  const isNarrow = part.kind === "input" || part.kind === "family";
  if (verdict === "partly") return part;
  if (verdict === "shows") {
    if (aspect === "clipping") {
      return { kind: "master", name: "master output, or the rails of the whole desk" };
    }
    const keeps =
      !isNarrow && (part.kind === "mains" || part.kind === "desk-supply" || part.kind === "level");
    return keeps ? part : after[into];
  }
  if (isNarrow) return part;
  return aspect === "hum-even"
    ? { kind: "desk-supply", name: "supply of the strips" }
    : before[into];
}

/** The first of the aspects that one mechanism moves together. */
function mechanismOf(aspect: SharedFault["aspect"]): SharedFault["aspect"] {
  return mechanisms.find((own) => own.includes(aspect))?.[0] ?? aspect;
}

/** Relevant changes of the reference path since the earlier round. */
function listOwnFaults(
  paths: readonly PlacedInput[],
  { now, earlier }: ReferenceEvidence,
): readonly SharedFault[] {
  if (earlier === undefined) return [];
  const measured = paths.flatMap(({ path, measurement }) => (measurement ? [path] : []));
  const found = new Map<string, { fault: SharedFault; floors: number }>();
  for (const row of rows) {
    const [is, was] = [readReference(row, now), readReference(row, earlier)];
    if (is === undefined || was === undefined || is.isBound) continue;
    const deviation = is.value - was.value;
    const floors = Math.abs(deviation) / row.least;
    const isWorse = row.harm === "both" || (row.harm === "up") === deviation > 0;
    if (floors < leastFloors || !isWorse || row.aspect === "dead") continue;
    const known = found.get(mechanismOf(row.aspect));
    if (known !== undefined && known.floors >= floors) continue;
    const at = row.atHz === undefined ? {} : { atHz: row.atHz };
    const finding = {
      reading: row.reading,
      deviation,
      unit: row.unit,
      value: is.value,
      expected: was.value,
      ...at,
    };
    const fault: SharedFault = {
      part: after[now.into],
      paths: measured,
      findings: [finding],
      aspect: row.aspect,
      against: "reference-path",
      severity: "watch",
      reference: "shows",
    };
    found.set(mechanismOf(row.aspect), { fault, floors });
  }
  return [...found.values()].sort((a, b) => b.floors - a.floors).map(({ fault }) => fault);
}
