import { median } from "../dsp/robust.js";
import { getBoundSide, isBound } from "../measure/is-bound.js";
import { getOwnUncertainty } from "../measure/own-uncertainty.js";
import type { Aspect, HarmDirection, NamedValues, ReadingKind } from "../measure/reading-kind.js";
import { findReadingKind, getReadingId, readingKinds } from "../measure/reading-kinds.js";
import type { Measurement, Reading } from "../measure/types.js";
import type { Unheard } from "../not-measured.js";
import {
  type Ceiling,
  computeFamilyStats,
  type FamilyMembers,
  type FamilyStats,
  getReferenceStats,
  groupFamilies,
  minSiblings,
  type PathToRank,
} from "./family-stats.js";
import { compareResponses } from "./responses.js";
import {
  computeScatter,
  type DeviationScore,
  minInDeviations,
  scoreDeviation,
  scoreSiblingDeviation,
} from "./robust-stats.js";
import { classifySeverity, getThresholdFactor } from "./severity.js";
import { compareSpectra } from "./spectra.js";
import type { Finding } from "./types.js";

/** A path with its findings. */
export interface RankedPath {
  readonly path: string;
  readonly oddness: number;
  /** 1 for the oddest; absent for paths that were not measured. */
  readonly rank?: number;
  readonly findings: readonly Finding[];
}

/** Most that a single reading adds to a path's oddness. */
const mostScore = 100;
/** A path from which nothing came back is ranked before all measured ones. */
const unheardScore = 1000;
/** Scores below this are normal scatter and add nothing. */
const crowdScore = 2;

/**
 * Ranks paths by comparison with their siblings: every reading of the registry by median and robust
 * scale, the response as a curve. A path's oddness is the root sum of squares of its harmful scores
 * beyond normal scatter; readings of one aspect count once, by the largest.
 *
 * @param paths all paths of a round, of any number of families
 * @returns the same paths in the same order, each with rank, oddness and findings
 * @example
 * const level = (path, value) => {
 *   const readings = { gain: { value, unit: "dB", uncertainty: 0.01 } };
 *   return { path, family: "line", measurement: { readings, absent: {}, curves: {} } };
 * };
 * const ranked = rankPaths([level("1/line", 0), level("2/line", 0.1), level("3/line", -0.1), level("4/line", -9)]);
 * ranked.find(({ rank }) => rank === 1).path; // "4/line"
 */
export function rankPaths(paths: readonly PathToRank[]): readonly RankedPath[] {
  const findings = new Map<string, Finding[]>(paths.map((p) => [p.path, []]));
  const excess = new Map<string, Map<string, number>>(paths.map((p) => [p.path, new Map()]));
  const add = (path: string, id: string, harmful: number, finding: Finding | undefined) => {
    const most = id === "return" ? unheardScore : mostScore;
    const beyond = Math.max(0, Math.min(most, harmful) - crowdScore);
    const own = excess.get(path);
    const aspect = aspectOf(id);
    own?.set(aspect, Math.max(own.get(aspect) ?? 0, beyond));
    if (finding) findings.get(path)?.push(finding);
  };

  const addUnsaid =
    (aspect: Aspect): Add =>
    (path, id, harmful, finding) => {
      const said = finding && isSaid(finding, [aspect], findings.get(path) ?? []);
      add(path, id, harmful, said ? undefined : finding);
    };

  for (const { family, usual } of comparisons(paths)) {
    for (const kind of rankedKinds) {
      if (kind.values) rankValues(family, usual, kind, kind.values, add);
      else rankReading(family, usual, kind, kind.harmBeside ? addUnsaid(kind.aspect) : add);
    }
    for (const { path, part, harmful, finding } of compareResponses(family, usual)) {
      add(path, `response ${part}`, harmful, finding);
    }
    for (const { path, aspect, saidBy, harmful, finding } of compareSpectra(family, usual)) {
      const said = finding && isSaid(finding, saidBy, findings.get(path) ?? []);
      add(path, aspect, harmful, said ? undefined : finding);
    }
  }
  for (const { path, unheard } of paths) {
    if (unheard === undefined) continue;
    add(path, "return", unheardScore, unheardFinding(unheard));
  }

  const ranked = paths.map((p) => ({
    path: p.path,
    oddness: Math.round(10 * Math.hypot(...(excess.get(p.path)?.values() ?? []))) / 10,
    findings: (findings.get(p.path) ?? []).sort((a, b) => Math.abs(b.score) - Math.abs(a.score)),
    counted: p.measurement !== undefined || p.unheard !== undefined,
  }));
  const order = ranked.filter((p) => p.counted).sort((a, b) => b.oddness - a.oddness);
  const place = new Map(order.map((p, i) => [p.path, i + 1]));
  return ranked.map(({ path, oddness, findings: list }) => {
    const rank = place.get(path);
    return { path, oddness, findings: list, ...(rank === undefined ? {} : { rank }) };
  });
}

/** Families with their statistics; two paths are compared with each other. */
function comparisons(paths: readonly PathToRank[]) {
  return [...groupFamilies(paths).values()].flatMap((family) =>
    family.length === 2
      ? family.map((one) => ({ family: [one], usual: getReferenceStats(family, one.path) }))
      : [{ family, usual: computeFamilyStats(family) }],
  );
}

/**
 * Whether a finding of a curve, or of a part of a sum, is redundant because a reading of these
 * aspects reports it with the same severity.
 */
function isSaid(one: Finding, saidBy: readonly Aspect[], findings: readonly Finding[]): boolean {
  return findings.some(
    ({ reading, severity }) =>
      gravity.indexOf(severity) >= gravity.indexOf(one.severity) &&
      saidBy.some((aspect) => aspect === aspectOf(reading)),
  );
}

const gravity: readonly Finding["severity"][] = ["remark", "watch", "service"];

/** The aspect of a reading; anything else ranked is a separate aspect. */
function aspectOf(id: string): string {
  return findReadingKind(id)?.aspect ?? id;
}

type Add = (path: string, id: string, harmful: number, finding: Finding | undefined) => void;

function rankReading(
  family: FamilyMembers,
  usual: FamilyStats | undefined,
  kind: ReadingKind,
  add: Add,
) {
  let beside: FamilyStats | undefined;
  for (const [at, { path, measurement }] of family.entries()) {
    const reading = measurement.readings[kind.id];
    const humlike = withHum(kind, measurement, usual);
    // Hum remaining after weighting is compared with hiss, and scatters less than hum.
    const here = kind.holdsHum === "weighted" ? kind : { ...kind, ...humlike };
    const hums = kind.aspect === "hum" || here.least !== kind.least;
    const nearby = hums ? findNearby(family, at, kind.id, usual) : 0;
    if (hums) beside ??= withoutNearby(family, kind.id, usual);
    const around = hums ? beside : usual;
    const found =
      reading && computeDeviation(here, { ...reading, value: reading.value - nearby }, around);
    if (!reading || !found) continue;
    const { deviation, score, significance, atLeast } = found;
    const expected = found.expected + nearby;
    const count = usual?.readings[kind.id]?.count ?? 0;
    const harmful = getHarmfulPart(score, count === 1 ? getHarmOfTwo(kind) : harmOf(kind));
    const least = (humlike.least ?? kind.least) * getThresholdFactor(count);
    const severity = classifySeverity(significance, deviation, least, harmful > 0);
    add(
      path,
      kind.id,
      harmful,
      severity && {
        reading: kind.id,
        against: "siblings",
        value: reading.value,
        expected,
        deviation,
        unit: reading.unit,
        score,
        severity,
        observation: {
          code: "deviates",
          siblings: count,
          ...(atLeast === undefined ? {} : { atLeast }),
        },
      },
    );
  }
}

/**
 * Which of only two paths is the faulty one: a fault loses level. If it may be either, it is only a
 * difference.
 */
function getHarmOfTwo(kind: ReadingKind): HarmDirection {
  const harm = harmOf(kind);
  return kind.harmOfTwo ?? (harm === "both" ? "none" : harm);
}

/** Direction in which a reading's deviation is a fault. */
function harmOf({ harm, harmBeside }: ReadingKind): HarmDirection {
  return harmBeside ?? harm;
}

const judged = readingKinds.filter((kind) => harmOf(kind) !== "none");
/** Parts of a sum after the sums, which may make them redundant. */
const rankedKinds = [
  ...judged.filter(({ harmBeside }) => harmBeside === undefined),
  ...judged.filter(({ harmBeside }) => harmBeside !== undefined),
];

/**
 * Hum of healthy siblings differs many times more than their hiss, so hum remaining after weighting
 * may vary more than hiss. From 10 dB it is twice as loud (S. S. Stevens, "The measurement of
 * loudness", J. Acoust. Soc. Am. 27(5), 1955), which counts whatever the hum itself shows.
 */
const twiceAsLoudDb = 10;

/** If hum dominates a noise reading, its practical floor and scatter are those of hum. */
function withHum(
  kind: ReadingKind,
  measurement: Measurement,
  usual: FamilyStats | undefined,
): Partial<ReadingKind> {
  if (!holdsMostlyHum(kind, measurement, usual)) return {};
  const hum = findReadingKind(humId);
  if (hum === undefined) return {};
  if (kind.holdsHum === "weighted") return { least: twiceAsLoudDb };
  const { least, priorScatter } = hum;
  return priorScatter === undefined ? { least } : { least, priorScatter };
}

function holdsMostlyHum(
  { id, holdsHum }: ReadingKind,
  { readings }: Measurement,
  usual: FamilyStats | undefined,
): boolean {
  const [hum, noise] = [readings[humId], readings[noiseId]];
  if (!holdsHum || !hum || !noise || hum.value < noise.value - halfPowerDb) return false;
  if (holdsHum === true) return true;
  // A weighting removes most of the hum: it counts only if hiss has no part in the rise.
  const rise = riseOf(id, readings, usual);
  const hiss = riseOf(hissId, readings, usual);
  return rise !== undefined && hiss !== undefined && rise > 0 && hiss < rise / 2;
}

/** How far a reading is above its siblings' median. */
function riseOf(id: string, readings: Measurement["readings"], usual: FamilyStats | undefined) {
  const [own, siblings] = [readings[id], usual?.readings[id]];
  return own && siblings ? own.value - siblings.median : undefined;
}

/** Strips on either side that are neighbours, and how many of them must have the reading. */
const neighboursEachSide = 2;
const leastNeighbours = 2;

/**
 * Excess of a path's neighbours over the family's median: hum from a supply's field fades along the
 * desk, and a strip near it is not faulty because of that. Zero if they have less.
 *
 * @param family in the order of the strips
 */
function findNearby(
  family: FamilyMembers,
  at: number,
  id: string,
  usual: FamilyStats | undefined,
): number {
  const scatter = usual?.readings[id];
  if (!scatter) return 0;
  const heard = family.flatMap(({ measurement }, from): readonly Neighbour[] => {
    const value = measurement.readings[id]?.value;
    if (value === undefined || from === at || !comesThrough(measurement, usual)) return [];
    return [{ value, apart: Math.abs(from - at), isBefore: from < at }];
  });
  const before = heard.filter(({ isBefore }) => isBefore).slice(-neighboursEachSide);
  const after = heard.filter(({ isBefore }) => !isBefore).slice(0, neighboursEachSide);
  const all = [...before, ...after];
  if (all.length < leastNeighbours) return 0;
  // At the end of a row it is extrapolated.
  const oneSided = before.length === 0 || after.length === 0;
  const ordered = before.length > 0 ? before : [...after].reverse();
  const last = ordered[ordered.length - 1];
  const onward = oneSided
    ? last.value + slopeOf(ordered) * last.apart
    : median(all.map(({ value }) => value));
  return Math.max(0, onward - scatter.median);
}

/** A neighbouring path, with its distance in strips. */
interface Neighbour {
  readonly value: number;
  readonly apart: number;
  readonly isBefore: boolean;
}

/** Decibels; a path that lost more level also lets no hum through. */
const mostLostDb = 20;

/** Whether hum picked up would come through: a dead path says nothing about the field near it. */
function comesThrough({ readings }: Measurement, usual: FamilyStats): boolean {
  const [level, siblings] = [readings[gainId], usual.readings[gainId]];
  return !level || !siblings || level.value > siblings.median - mostLostDb;
}

/** A family's statistics without the excess of neighbours. */
function withoutNearby(
  family: FamilyMembers,
  id: string,
  usual: FamilyStats | undefined,
): FamilyStats | undefined {
  const scatter = usual?.readings[id];
  if (!usual || !scatter || scatter.count < minSiblings) return usual;
  const left = family.flatMap(({ measurement }, at) => {
    const value = measurement.readings[id]?.value;
    return value === undefined ? [] : [value - findNearby(family, at, id, usual)];
  });
  const own = computeScatter(left);
  if (!(own.scale < scatter.scale)) return usual;
  return { ...usual, readings: { ...usual.readings, [id]: { ...scatter, scale: own.scale } } };
}

/** Slope from one strip to the next, never negative. */
function slopeOf(ordered: readonly Neighbour[]): number {
  const [first, last] = [ordered[0], ordered[ordered.length - 1]];
  return Math.max(0, (last.value - first.value) / Math.max(1, first.apart - last.apart));
}

const humId = getReadingId("hum");
const gainId = getReadingId("gain");
const noiseId = getReadingId("noise");
const hissId = getReadingId("hiss");
const halfPowerDb = 3;

/** Deviation of a reading from its siblings. */
export interface Deviation extends DeviationScore {
  readonly expected: number;
  /** Set if the siblings' values are upper bounds: the true difference is larger. */
  readonly atLeast?: true;
}

/**
 * Compares one reading with its family.
 *
 * @returns undefined if the family has no statistics, or if the reading is a bound that cannot show
 * a fault
 * @example
 * const of = (value) => ({ value, unit: "dB", uncertainty: 0.01 });
 * const family = [0, 0.1, -0.1, 0.05, -0.05].map((gainDb, k) => ({
 *   path: `${k + 1}/mic`,
 *   measurement: { readings: { gain: of(gainDb) }, absent: {}, curves: {} },
 * }));
 * const found = computeDeviation(findReadingKind("gain"), of(-10), computeFamilyStats(family));
 * found.deviation; // -10
 * found.expected; // 0
 * found.significance < -5; // true
 */
export function computeDeviation(
  kind: ReadingKind,
  reading: Reading,
  usual: FamilyStats | undefined,
): Deviation | undefined {
  const scatter = usual?.readings[kind.id];
  if (!scatter) return undefined;
  if (accusesNobody(reading, scatter.median)) return undefined;
  const granted = kind.least / minInDeviations;
  const ceiling = usual?.ceilings?.[kind.id];
  // Differences between bounds are chance.
  if (usual?.bounded?.has(kind.id) && isBound(reading)) return undefined;
  if (ceiling && granted > 0) return aboveCeiling(reading, ceiling, scatter.count, granted);
  const { excess = 1 } = usual ?? {};
  const own = getOwnUncertainty(reading);
  const free = kind.priorScatter === "unknown" && scatter.count > 1 && excess === 1;
  const found = free
    ? scoreDeviation(reading.value, scatter, own, granted)
    : scoreSiblingDeviation(reading.value, scatter, own, granted, excess, priorOf(kind));
  return { ...found, expected: scatter.median };
}

/**
 * It is unknown how far a hidden reading is below its bound, but values of healthy siblings differ
 * by at most this many assumed standard deviations (common practice, no source).
 */
const hiddenInGranted = 3;

/** Deviation above the highest possible value of siblings with a bound: a lower limit. */
function aboveCeiling(
  reading: Reading,
  ceiling: Ceiling,
  count: number,
  granted: number,
): Deviation | undefined {
  if (reading.value <= ceiling.value) return undefined;
  const scale = Math.max(hiddenInGranted * granted, ceiling.scale);
  const scatter = { count, median: ceiling.value, scale, freedom: Number.POSITIVE_INFINITY };
  return {
    ...scoreDeviation(reading.value, scatter, getOwnUncertainty(reading), granted),
    expected: ceiling.value,
    atLeast: true,
  };
}

function priorOf({ priorScatter }: ReadingKind): number | undefined {
  return typeof priorScatter === "number" ? priorScatter : undefined;
}

/** Whether a reading is a bound that does not show a deviation. */
function accusesNobody(reading: Reading, usual: number): boolean {
  const side = getBoundSide(reading);
  if (side === undefined) return false;
  return side === "upper" ? reading.value > usual : reading.value < usual;
}

/** The part of a score in the direction of harm. */
function getHarmfulPart(score: number, harm: HarmDirection): number {
  if (harm === "both") return Math.abs(score);
  if (harm === "up") return Math.max(0, score);
  if (harm === "down") return Math.max(0, -score);
  return 0;
}

/** A reading of few values has no scatter: the minority of a clear vote stands out. */
function rankValues(
  family: FamilyMembers,
  usual: FamilyStats | undefined,
  kind: ReadingKind,
  { names }: NamedValues,
  add: Add,
): void {
  const scatter = usual?.readings[kind.id];
  if (!scatter || names.every(({ value }) => value !== scatter.median)) return;
  for (const { path, measurement } of family) {
    const reading = measurement.readings[kind.id];
    if (!reading || reading.value === scatter.median) continue;
    const ofTwo = scatter.count === 1;
    add(path, kind.id, ofTwo ? 0 : valueScore, {
      reading: kind.id,
      against: "siblings",
      value: reading.value,
      expected: scatter.median,
      deviation: reading.value - scatter.median,
      unit: kind.unit,
      score: valueScore,
      severity: ofTwo ? "remark" : "service",
      observation: { code: "unlike", siblings: scatter.count },
    });
  }
}

/** Such a value is certain or absent; it counts like a very large difference. */
const valueScore = 20;

function unheardFinding(heard: Unheard): Finding {
  return {
    reading: "return",
    against: "siblings",
    value: 0,
    expected: 1,
    deviation: -1,
    unit: "",
    score: -unheardScore,
    severity: "service",
    observation: { code: "nothing-back", heard },
  };
}
