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

/** A path with what stands out on it. */
export interface RankedPath {
  readonly path: string;
  readonly oddness: number;
  /** 1 for the oddest; absent for paths that were not measured. */
  readonly rank?: number;
  readonly findings: readonly Finding[];
}

/** No single reading adds more than this to a path's oddness. */
const mostScore = 100;
/** A path from which nothing came back is listed before all that can still be measured. */
const unheardScore = 1000;
/** Scores below this are the crowd's own noise and add nothing. */
const crowdScore = 2;

/**
 * Ranks paths against their siblings: every reading of the registry by median and robust scale,
 * the response as a curve. A path's oddness is the root of the summed squares of its harmful
 * scores beyond the crowd's own noise, where readings of one aspect count once, by the largest.
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

/** Families with what is usual in them; two paths are compared with each other. */
function comparisons(paths: readonly PathToRank[]) {
  return [...groupFamilies(paths).values()].flatMap((family) =>
    family.length === 2
      ? family.map((one) => ({ family: [one], usual: getReferenceStats(family, one.path) }))
      : [{ family, usual: computeFamilyStats(family) }],
  );
}

/** What a curve or a part of a sum shows is said only where no reading of these aspects says it as gravely. */
function isSaid(one: Finding, saidBy: readonly Aspect[], findings: readonly Finding[]): boolean {
  return findings.some(
    ({ reading, severity }) =>
      gravity.indexOf(severity) >= gravity.indexOf(one.severity) &&
      saidBy.some((aspect) => aspect === aspectOf(reading)),
  );
}

const gravity: readonly Finding["severity"][] = ["remark", "watch", "service"];

/** Of a reading its aspect; whatever else is ranked is an aspect of its own. */
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
    // What a weighting leaves of it stands beside the hiss, and scatters by less than hum does.
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
 * Which side of a difference is the faulty one if there are only two: what fails loses level. Where
 * either may be, it is a mere difference.
 */
function getHarmOfTwo(kind: ReadingKind): HarmDirection {
  const harm = harmOf(kind);
  return kind.harmOfTwo ?? (harm === "both" ? "none" : harm);
}

/** Which way a reading stands out of its siblings'. */
function harmOf({ harm, harmBeside }: ReadingKind): HarmDirection {
  return harmBeside ?? harm;
}

const judged = readingKinds.filter((kind) => harmOf(kind) !== "none");
/** Parts of a sum after the sums, which may say it for them. */
const rankedKinds = [
  ...judged.filter(({ harmBeside }) => harmBeside === undefined),
  ...judged.filter(({ harmBeside }) => harmBeside !== undefined),
];

/**
 * Hum of healthy siblings differs by many times what their hiss does, so what a weighting leaves of
 * it beside the hiss is not limited by how similar their hiss is. From 10 dB on it is twice as loud
 * (S. S. Stevens, "The measurement of loudness", J. Acoust. Soc. Am. 27(5), 1955), which counts
 * whatever the hum itself shows.
 */
const twiceAsLoudDb = 10;

/**
 * Where hum is most of what a noise reading holds, its practical floor is that of hum, and healthy
 * siblings scatter by it as they do by hum.
 */
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
  // A weighting takes most of the hum away: what is left of it is what hiss has no part in.
  const rise = riseOf(id, readings, usual);
  const hiss = riseOf(hissId, readings, usual);
  return rise !== undefined && hiss !== undefined && rise > 0 && hiss < rise / 2;
}

/** How far a reading lies above its siblings' middle. */
function riseOf(id: string, readings: Measurement["readings"], usual: FamilyStats | undefined) {
  const [own, siblings] = [readings[id], usual?.readings[id]];
  return own && siblings ? own.value - siblings.median : undefined;
}

/** So many strips to either side are neighbours, and so many of them must show theirs. */
const neighboursEachSide = 2;
const leastNeighbours = 2;

/**
 * How much more than the family's median a path's neighbours have: hum of a supply's field fades along
 * the desk, and who stands where all are louder is no louder for it. Nothing where they have less.
 *
 * @param family in the order in which the strips stand
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
  // At the end of a row the course goes on as it came.
  const oneSided = before.length === 0 || after.length === 0;
  const ordered = before.length > 0 ? before : [...after].reverse();
  const last = ordered[ordered.length - 1];
  const onward = oneSided
    ? last.value + slopeOf(ordered) * last.apart
    : median(all.map(({ value }) => value));
  return Math.max(0, onward - scatter.median);
}

/** A path beside another, and how many places apart. */
interface Neighbour {
  readonly value: number;
  readonly apart: number;
  readonly isBefore: boolean;
}

/** What lost more of its level lets no hum through either, decibels. */
const mostLostDb = 20;

/** Whether what a path picks up comes through it: a dead one says nothing about the field about it. */
function comesThrough({ readings }: Measurement, usual: FamilyStats): boolean {
  const [level, siblings] = [readings[gainId], usual.readings[gainId]];
  return !level || !siblings || level.value > siblings.median - mostLostDb;
}

/** The usual of a family when each is taken for no louder than its neighbours. */
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

/** From one place to the next, and never down. */
function slopeOf(ordered: readonly Neighbour[]): number {
  const [first, last] = [ordered[0], ordered[ordered.length - 1]];
  return Math.max(0, (last.value - first.value) / Math.max(1, first.apart - last.apart));
}

const humId = getReadingId("hum");
const gainId = getReadingId("gain");
const noiseId = getReadingId("noise");
const hissId = getReadingId("hiss");
const halfPowerDb = 3;

/** How far a reading lies from its siblings'. */
export interface Deviation extends DeviationScore {
  readonly expected: number;
  /** Set where the siblings' own values lie below what was measured of them: it differs by more. */
  readonly atLeast?: true;
}

/**
 * Compares one reading with what is usual in its family.
 *
 * @returns undefined where the family has no usual, or where the figure is a bound that can accuse
 *   the path of nothing
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
  // One bound lies above or below another by chance alone.
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
 * Nobody knows how far beneath its bound a hidden reading lies, but that healthy siblings have values
 * this many granted standard deviations apart or less is known beforehand (common practice).
 */
const hiddenInGranted = 3;

/** Beyond what siblings that hide theirs can have: a distance of at least so much. */
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

/** Whether a reading is a bound on the far side of its siblings' median. */
function accusesNobody(reading: Reading, usual: number): boolean {
  const side = getBoundSide(reading);
  if (side === undefined) return false;
  return side === "upper" ? reading.value > usual : reading.value < usual;
}

/** The part of a score that speaks of illness. */
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

/** Such a value is certain or absent; it counts like a difference beyond all scatter. */
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
