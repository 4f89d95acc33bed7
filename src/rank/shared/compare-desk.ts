import type { Expectations } from "../../desk/expectations.js";
import { amplifiesMore } from "../../desk/unlike-gains.js";
import { dbToPower } from "../../dsp/decibels.js";
import { median } from "../../dsp/robust.js";
import { getReadingId } from "../../measure/reading-kinds.js";
import { groupBy } from "../../text/group-by.js";
import { mostCertain, stripEvidenceShare } from "../certainty.js";
import { serviceFloors } from "../severity.js";
import { aspectFacets } from "./aspect-facets.js";
import { isDead } from "./dead.js";
import { findSharedTone } from "./find-shared-tone.js";
import type { ReferenceEvidence } from "./reference/attribute-faults.js";
import type { DriftContext } from "./reference/subtract-drift.js";
import { floorHum, linesOf, mechanisms, type Row, rows } from "./rows.js";
import type {
  PlacedInput,
  SharedAspect,
  SharedFault,
  SharedFinding,
  SharedPart,
  SharedPartKind,
} from "./types.js";

/** What a desk as a whole is compared with. */
export interface DeskReference {
  readonly expectations: Expectations;
  /** Unit of levels. */
  readonly unit: "dBFS" | "dBu";
  /** Noise of the recording's own word length, in `unit`. */
  readonly recordingNoise?: number;
  /** Level at the mix output when the signal plays at its nominal level, dBu. */
  readonly referenceDbu: number;
  /** Level at each input's socket at nominal, dBu: it gives the gain of its stage. */
  readonly nominalDbu: Readonly<Record<string, number>>;
  /** The same paths in an earlier round that can be compared with this one. */
  readonly earlier?: readonly PlacedInput[];
  /** What the reference path shows; absent if none was recorded. */
  readonly path?: DriftContext & { readonly evidence: ReferenceEvidence };
}

/** One family's median in a row. */
interface Middle {
  readonly family: string;
  readonly input: string;
  readonly value: number;
}

/** A family beyond its expectation. */
interface Beyond extends Middle {
  readonly row: Row;
  readonly expected: number;
  readonly deviation: number;
  /** Excess in practical floors. */
  readonly floors: number;
  readonly against: "expectation" | "baseline" | "other-side";
  /** For aspects that add as power: the level added. */
  readonly addedDb?: number;
}

/** About one desk in seven has a fault in what strips share, one strip in ten one of this kind. */
const sharedPrior = Math.log(0.15);
const ownPrior = Math.log(0.1);
/** Fewer paths than this show nothing in common. */
const leastPaths = 3;
/** Decibels; parts after the strips add the same to every input within this. */
const equalWithinDb = 6;
/**
 * Decibels; a family whose value is no further below what another has gained may have gained it
 * too.
 */
const maskedWithinDb = 3;

/**
 * Judges what all paths of an input, or of the desk, have in common, which comparison with siblings
 * cannot show: by an earlier round, if any, and by the desk's expectations.
 *
 * @param paths without the contributions shared by only some strips
 * @example
 * const path = (strip, value) => ({
 *   path: `${strip}/mic`,
 *   strip,
 *   input: "mic",
 *   family: "mic",
 *   measurement: { readings: { polarity: { value, unit: "", uncertainty: 0 } }, absent: {}, curves: {} },
 * });
 * const strips = ["1", "2", "3", "4"];
 * const reference = { expectations: {}, unit: "dBFS", referenceDbu: 4, nominalDbu: { mic: -40 } };
 * compareDesk(strips.map((strip) => path(strip, 1)), reference); // []
 * const earlier = strips.map((strip) => path(strip, 1));
 * const [fault] = compareDesk(strips.map((strip) => path(strip, -1)), { ...reference, earlier });
 * fault.aspect; // "polarity"
 * fault.against; // "baseline"
 */
export function compareDesk(
  paths: readonly PlacedInput[],
  reference: DeskReference,
): readonly SharedFault[] {
  const measured = paths.filter(({ measurement }) => measurement);
  if (measured.length < leastPaths) return [];
  const beyond = rows.flatMap((row) => [
    ...beyondEarlier(row, measured, reference),
    ...beyondExpectation(row, measured, reference),
  ]);
  return toFaults(beyond, measured);
}

/**
 * Judges what all paths of one side of a stereo bus have in common against the other side, by the
 * bounds for changes: only what is worse on this side, i.e. the lower level or the inverted
 * polarity.
 *
 * @param paths of this side
 * @param other side of the same paths, under the same names
 * @example
 * const side = (strip, value) => ({
 *   path: `${strip}/mic`,
 *   strip,
 *   input: "mic",
 *   family: "mic",
 *   measurement: { readings: { polarity: { value, unit: "", uncertainty: 0 } }, absent: {}, curves: {} },
 * });
 * const strips = ["1", "2", "3", "4"];
 * const sides = (value) => strips.map((strip) => side(strip, value));
 * const [fault] = compareWithOther(sides(-1), sides(1), { expectations: { levelDb: 1 } });
 * fault.aspect; // "polarity"
 * fault.against; // "other-side"
 */
export function compareWithOther(
  paths: readonly PlacedInput[],
  other: readonly PlacedInput[],
  { expectations }: Pick<DeskReference, "expectations">,
): readonly SharedFault[] {
  const measured = paths.filter(({ measurement }) => measurement);
  if (measured.length < leastPaths) return [];
  const beyond = rows.flatMap((row) =>
    beyondEarlier(row, measured, { earlier: other }).flatMap((one): readonly Beyond[] => {
      if (row.harm === "both" && one.deviation > 0) return [];
      const most = row.expected === undefined ? undefined : expectations[row.expected];
      if (row.harm === "up" && most !== undefined && one.value < most - unheardBelowDb) return [];
      const isLevel = row.aspect === "level";
      const floors = isLevel ? Math.abs(one.deviation) / expectations.levelDb : one.floors;
      return floors < 1 ? [] : [{ ...one, floors, against: "other-side" }];
    }),
  );
  return toFaults(beyond, measured);
}

/**
 * Decibels; distortion this far below the expectation does not matter, whatever the other side's
 * is.
 */
const unheardBelowDb = 20;

function toFaults(
  beyond: readonly Beyond[],
  measured: readonly PlacedInput[],
): readonly SharedFault[] {
  const faults = mechanisms.flatMap((mechanism) => {
    const own = beyond.filter(({ row }) => mechanism.includes(row.aspect));
    return faultsOf(own, measured);
  });
  return [...joinSideEffects(faults)].sort((a, b) => b.floors - a.floors).map(({ fault }) => fault);
}

/**
 * Readings of a single path beyond the desk's expectations: without siblings there is nothing else
 * to compare with. Level and polarity are left out, because only siblings can judge them.
 *
 * @example
 * const reference = { expectations: {}, unit: "dBFS", referenceDbu: 4, nominalDbu: { mic: -40 } };
 * const measurement = { readings: {}, absent: {}, curves: {} };
 * const path = { path: "1/mic", strip: "1", input: "mic", family: "mic", measurement };
 * findBeyondExpectation(path, reference); // []
 */
export function findBeyondExpectation(
  path: PlacedInput,
  reference: DeskReference,
): readonly SharedFinding[] {
  return rows
    .filter(({ aspect }) => aspect !== "level" && aspect !== "polarity")
    .flatMap((row) => beyondExpectation(row, [path], reference, 1))
    .sort((a, b) => b.floors - a.floors)
    .map((one) => toFinding(one, [path]));
}

interface Graded {
  readonly fault: SharedFault;
  readonly floors: number;
}

/**
 * Merges side effects: a risen floor also affects other readings, since noise hides mains lines,
 * and both hide harmonics. It is one fault, not three.
 */
function joinSideEffects(found: readonly Graded[]): readonly Graded[] {
  const rise = ({ fault }: Graded) => fault.findings[0].deviation;
  const floors = found.filter(({ fault }) => aspectFacets[fault.aspect].adds === "floor");
  if (floors.length === 0) return found;
  const main = floors.reduce((a, b) => (rise(b) > rise(a) ? b : a));
  const isEffect = (one: Graded) =>
    one !== main &&
    aspectFacets[one.fault.aspect].adds !== undefined &&
    rise(one) < rise(main) &&
    one.fault.paths.every((path) => main.fault.paths.includes(path));
  const effects = found.filter(isEffect).flatMap(({ fault }) => fault.findings);
  const joined = { ...main.fault, findings: [...main.fault.findings, ...effects] };
  return found.flatMap((one) => {
    if (isEffect(one)) return [];
    return [one === main ? { ...main, fault: joined } : one];
  });
}

/** Makes faults from families beyond expectation: one for the desk, or one for each input. */
function faultsOf(beyond: readonly Beyond[], measured: readonly PlacedInput[]): readonly Graded[] {
  if (beyond.length === 0) return [];
  const worst = beyond.reduce((a, b) => (b.floors > a.floors ? b : a));
  // Only with one reference: deviations from different ones cannot be compared.
  const same = beyond.filter(({ row, against }) => row === worst.row && against === worst.against);
  const middles = middlesOf(worst.row, measured);
  if (isOfDesk(worst, same, middles)) {
    const part: SharedPart = { kind: kindOfDesk(worst.row.aspect) };
    return [toFault(part, worst, beyond, measured)];
  }
  const families = [...new Set(same.map(({ family }) => family))];
  const inputs = [...new Set(same.map(({ input }) => input))];
  return inputs.map((input) => {
    const own = beyond.filter((one) => one.input === input);
    const most = own.reduce((a, b) => (b.floors > a.floors ? b : a));
    const ofInput = [...new Set(middles.filter((one) => one.input === input).map((m) => m.family))];
    const hit = ofInput.filter((family) => families.includes(family));
    const whole = hit.length === ofInput.length || hit.length !== 1;
    const part: SharedPart = whole
      ? { kind: "input", name: input }
      : { kind: "family", name: hit[0] };
    const concerned = measured.filter((path) =>
      whole ? path.input === input : path.family === hit[0],
    );
    return toFault(part, most, own, concerned);
  });
}

function toFault(
  part: SharedPart,
  worst: Beyond,
  beyond: readonly Beyond[],
  paths: readonly PlacedInput[],
): Graded {
  const order = [...beyond].sort((a, b) => b.floors - a.floors);
  const seen = new Set<string>();
  // Of each reading and aspect the first: what comes again counts no more.
  const findings = [worst, ...order].flatMap((one): SharedFinding[] => {
    const key = `${one.row.reading} ${one.row.aspect}`;
    if (seen.has(key)) return [];
    seen.add(key);
    return [toFinding(one, paths)];
  });
  return {
    floors: worst.floors,
    fault: {
      part,
      paths: paths.map(({ path }) => path),
      findings,
      aspect: isDead(worst.row.aspect, findings) ? "dead" : worst.row.aspect,
      against: worst.against,
      severity: worst.floors >= serviceFloors ? "service" : "watch",
      probability: computeProbability(beyond, paths),
      ...(beyond.some(({ against }) => against === "expectation")
        ? { beyondExpectation: true as const }
        : {}),
    },
  };
}

function toFinding(
  { row, deviation, value, expected }: Beyond,
  paths: readonly PlacedInput[],
): SharedFinding {
  const { reading, unit, atHz, aspect } = row;
  const toneHz = aspect === "noise" ? findSharedTone(paths) : undefined;
  return {
    reading,
    deviation,
    unit,
    value,
    expected,
    ...(atHz === undefined ? {} : { atHz }),
    ...(toneHz === undefined ? {} : { toneHz }),
  };
}

/**
 * Probability of a shared part rather than separate faults: by the strips that show it and those
 * that do not.
 */
function computeProbability(beyond: readonly Beyond[], paths: readonly PlacedInput[]): number {
  const strips = new Map<string, boolean>();
  for (const path of paths) {
    const own = beyond.filter(({ family }) => family === path.family);
    for (const { row, expected, deviation } of own) {
      const value = row.read(path);
      if (value === undefined) continue;
      const shows = (value - expected) * Math.sign(deviation) > 0;
      strips.set(path.strip, shows || strips.get(path.strip) === true);
    }
  }
  let logOdds = sharedPrior;
  for (const shows of strips.values())
    logOdds -= stripEvidenceShare * (shows ? ownPrior : -ownPrior);
  return Math.min(mostCertain, 1 / (1 + Math.exp(-logOdds)));
}

function kindOfDesk(aspect: SharedAspect): SharedPartKind {
  if (aspect === "hum-odd") return "mains";
  if (aspect === "hum-even") return "desk-supply";
  return aspect === "level" ? "level" : "master";
}

/**
 * Whether a fault of some families is after the point where inputs join: then every family has it,
 * or hides it under a higher level of its own.
 */
function isOfDesk(worst: Beyond, same: readonly Beyond[], middles: readonly Middle[]): boolean {
  const others = middles.filter(({ family }) => !same.some((one) => one.family === family));
  const inputs = new Set(middles.map(({ input }) => input));
  if (inputs.size < 2) return others.length === 0;
  if (worst.row.unit === "dB" && worst.row.harm === "up") {
    const level = (one: Beyond) => one.addedDb ?? one.value;
    const least = Math.min(...same.map(level));
    const most = Math.max(...same.map(level));
    const masked = (one: Beyond) => one.value >= most - equalWithinDb;
    const alike = same.every((one) => most - level(one) <= equalWithinDb || masked(one));
    return alike && others.every(({ value }) => value >= least - maskedWithinDb);
  }
  const sizes = same.map(({ deviation }) => deviation);
  const most = Math.max(...sizes) - Math.min(...sizes);
  const allowed = Math.max(1, 0.3 * Math.abs(worst.deviation));
  return others.length === 0 && most <= allowed;
}

/**
 * The median of each family in which most paths have the reading, not as a bound: a level that only
 * a few reach, e.g. that of clipping, is not typical of the family.
 */
function middlesOf(row: Row, measured: readonly PlacedInput[], leastValues = 2): readonly Middle[] {
  return [...groupBy(measured, ({ family }) => family)].flatMap(([family, own]) => {
    const values = own.flatMap((path) => row.read(path) ?? []);
    const bounds = own.filter(row.isBound).length;
    const isOfFew = values.length < leastValues || 2 * values.length <= own.length;
    if (isOfFew || 2 * bounds > values.length) return [];
    return [{ family, input: own[0].input, value: median(values) }];
  });
}

function levelOf(family: string, measured: readonly PlacedInput[]): number | undefined {
  const levels = measured.flatMap((path) =>
    path.family === family ? (path.measurement?.readings[getReadingId("level")]?.value ?? []) : [],
  );
  return levels.length === 0 ? undefined : median(levels);
}

function beyondEarlier(
  row: Row,
  measured: readonly PlacedInput[],
  { earlier }: Pick<DeskReference, "earlier">,
): readonly Beyond[] {
  const least = leastChangeOf(row);
  if (!earlier || least === undefined) return [];
  const then = new Map(earlier.map((path) => [path.path, path]));
  const pairs = measured.flatMap((now) => {
    const before = then.get(now.path);
    return before?.measurement ? [{ now, before }] : [];
  });
  const families = [...new Set(pairs.map(({ now }) => now.family))];
  return families.flatMap((family): Beyond[] => {
    const own = pairs.filter(({ now }) => now.family === family);
    const changes = own.flatMap(({ now, before }) => {
      const [a, b] = [row.read(now), row.read(before)];
      if (a === undefined || b === undefined || row.isBound(now)) return [];
      const level = levelChange(now, before);
      if (row.aspect !== "level" && level <= lostDb) return [];
      // Lines hidden by hiss change with it: what counts is their rise above the earlier hiss.
      const lines = linesOf(row);
      const hiss = before.measurement?.readings[getReadingId("hiss")]?.value;
      const risen =
        lines === undefined || hiss === undefined
          ? a
          : floorHum(rawHum(row, now) ?? a, hiss, lines);
      return [{ value: risen, change: changeOf(row, risen - b, level) }];
    });
    if (changes.length < 2 || changes.length * 2 < own.length) return [];
    const deviation = median(changes.map(({ change }) => change));
    if (!isHarmful(row, deviation) || Math.abs(deviation) < least) return [];
    const value = median(changes.map((one) => one.value));
    const expected = value - deviation;
    const added = 10 * Math.log10(dbToPower(value) - dbToPower(expected));
    return [
      {
        row,
        family,
        input: own[0].now.input,
        value,
        expected,
        deviation,
        floors: Math.abs(deviation) / least,
        against: "baseline",
        ...(row.harm === "up" && row.unit === "dB" ? { addedDb: added } : {}),
      },
    ];
  });
}

function rawHum({ reading }: Row, { measurement }: PlacedInput): number | undefined {
  return measurement?.readings[reading]?.value;
}

function leastChangeOf(row: Row): number | undefined {
  return row.leastChange ?? aspectFacets[row.aspect].leastChange;
}

function levelChange(now: PlacedInput, before: PlacedInput): number {
  const [a, b] = [now, before].map(
    ({ measurement }) => measurement?.readings[getReadingId("level")]?.value,
  );
  return a === undefined || b === undefined ? 0 : a - b;
}

/** Decibels; a path or family with such a loss of level says nothing about anything else. */
const lostDb = -20;

/**
 * A floor has risen only if both its level and its ratio to the tone did; otherwise a control was
 * moved.
 */
function changeOf(row: Row, change: number, levelDb: number): number {
  if (row.aspect !== "noise" && linesOf(row) === undefined) return change;
  return Math.min(change, change - levelDb);
}

function isHarmful({ harm, aspect }: Row, deviation: number): boolean {
  if (aspect === "bass" || aspect === "treble") return deviation < 0;
  return harm === "both" || (harm === "up") === deviation > 0;
}

/**
 * Decibels; a floor that is the same on every input, although their gains differ, does not come
 * from the strips: bus, master and interface alone must be this much lower.
 */
const lessWhereEqualDb = 6;
const equalFloorsDb = 2;

function beyondExpectation(
  row: Row,
  measured: readonly PlacedInput[],
  reference: DeskReference,
  leastValues?: number,
): readonly Beyond[] {
  const middles = middlesOf(row, measured, leastValues);
  if (row.aspect === "level") return apartLevels(row, middles, measured, reference);
  if (row.aspect === "polarity") return apartPolarities(row, middles);
  const highest = findHighestLevel(measured);
  return middles.flatMap((one): Beyond[] => {
    const level = levelOf(one.family, measured);
    const lost = level === undefined || highest === undefined ? 0 : level - highest;
    if (lost <= lostDb) return [];
    // A loss of level does not make a path noisier: its floor is compared with the others' level.
    const carried = lost < -reference.expectations.levelDb ? highest : level;
    const limit = limitOf(row, carried, middles, reference);
    if (limit === undefined) return [];
    const deviation = one.value - limit;
    if (!isHarmful(row, deviation) || deviation === 0) return [];
    const floors = 1 + Math.abs(deviation) / row.least;
    return [{ ...one, row, expected: limit, deviation, floors, against: "expectation" }];
  });
}

/** The highest level of a family. */
function findHighestLevel(measured: readonly PlacedInput[]): number | undefined {
  const families = new Set(measured.map(({ family }) => family));
  const levels = [...families].flatMap((family) => levelOf(family, measured) ?? []);
  return levels.length === 0 ? undefined : Math.max(...levels);
}

/**
 * The bound for a family's median, in the row's unit; undefined if there is none.
 *
 * @param level of the tone, for bounds relative to it
 */
function limitOf(
  row: Row,
  level: number | undefined,
  middles: readonly Middle[],
  reference: DeskReference,
): number | undefined {
  const { expectations } = reference;
  const placed = ({ value, unit }: Expectations["hum"]) => {
    if (unit === "dBu" && reference.unit === "dBu") return value;
    // Without a calibration the tone is assumed to come back at its intended level.
    const againstTone = unit === "dBu" ? value - reference.referenceDbu : value;
    return level === undefined ? undefined : level + againstTone;
  };
  switch (row.aspect) {
    case "hum-odd":
    case "hum-even":
      return placed(expectations.hum);
    case "noise": {
      const limit = placed(expectations.noise);
      const less = hasEqualFloors(middles, reference) ? lessWhereEqualDb : 0;
      return limit === undefined ? undefined : addPowers(limit - less, reference.recordingNoise);
    }
    case "bass":
      return row.atHz !== undefined && row.atHz >= expectations.band[0] ? -3 : undefined;
    case "treble":
      return row.atHz !== undefined && row.atHz <= expectations.band[1] ? -3 : undefined;
    default:
      return row.expected === undefined ? undefined : expectations[row.expected];
  }
}

/** Sum of two powers in decibels. */
function addPowers(a: number, b = Number.NEGATIVE_INFINITY): number {
  return 10 * Math.log10(dbToPower(a) + dbToPower(b));
}

function hasEqualFloors(middles: readonly Middle[], { nominalDbu }: DeskReference): boolean {
  const levels = middles.map(({ value }) => value);
  const sockets = middles.flatMap(({ input }) => nominalDbu[input] ?? []);
  if (sockets.length < 2) return false;
  return (
    Math.max(...levels) - Math.min(...levels) <= equalFloorsDb &&
    amplifiesMore(Math.min(...sockets), Math.max(...sockets))
  );
}

/** Inputs with another polarity than most; if equal in number, the inverted ones. */
function apartPolarities(row: Row, middles: readonly Middle[]): readonly Beyond[] {
  const upright = middles.filter(({ value }) => value > 0);
  const inverted = middles.filter(({ value }) => value < 0);
  const [odd, expected] = upright.length < inverted.length ? [upright, -1] : [inverted, 1];
  if (new Set(middles.map(({ input }) => input)).size < 2) return [];
  return odd.map((one) => ({
    ...one,
    row,
    expected,
    deviation: one.value - expected,
    floors: serviceFloors,
    against: "expectation",
  }));
}

/** Inputs that come back at another level than the others, although all are fed at nominal. */
function apartLevels(
  row: Row,
  middles: readonly Middle[],
  measured: readonly PlacedInput[],
  { expectations, unit, referenceDbu }: DeskReference,
): readonly Beyond[] {
  const toBeyond = (one: Middle, expected: number): Beyond[] => {
    const deviation = one.value - expected;
    const floors = Math.abs(deviation) / expectations.levelDb;
    return floors < 1 ? [] : [{ ...one, row, expected, deviation, floors, against: "expectation" }];
  };
  if (unit === "dBu") {
    // A calibrated gain is that of the strip, which differs from input to input on purpose.
    return middles.flatMap((one) => {
      const level = levelOf(one.family, measured);
      return level === undefined ? [] : toBeyond(one, one.value - (level - referenceDbu));
    });
  }
  const inputs = new Set(middles.map(({ input }) => input));
  if (inputs.size < 2) return [];
  // Of two that differ, the one with less level is faulty or fed wrongly.
  const values = middles.map(({ value }) => value);
  const expected = inputs.size === 2 ? Math.max(...values) : median(values);
  return middles.flatMap((one) => toBeyond(one, expected));
}
