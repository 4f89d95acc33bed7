import { median } from "../../dsp/robust.js";
import { isBoundAt } from "../../measure/curve-bounds.js";
import { findCurveKind } from "../../measure/curve-kinds.js";
import type { Curve } from "../../measure/types.js";
import { minSiblings } from "../../rank/family-stats.js";
import { computeSignificance, type Scatter } from "../../rank/robust-stats.js";
import {
  classifyCourseAt,
  computeAssumedScatter,
  computeAssumedShift,
  isReal,
  judgeChange,
  noCrowd,
  realSignificance,
} from "./change.js";
import type { Conditions } from "./conditions.js";
import type { PathPair } from "./path-pairs.js";
import type { FamilyShift } from "./readings.js";
import { computeCommonShift, computeShiftError } from "./shift.js";
import { type CurveThreshold, classifyCourse, getCurveThreshold } from "./thresholds.js";
import type { CurveChange } from "./types.js";

/** The change of a curve between two rounds, at the frequencies of the later one. */
export interface CurveDifference {
  /** Hz, rising. */
  readonly x: readonly number[];
  readonly earlier: readonly number[];
  readonly later: readonly number[];
  /** Expanded uncertainty (95 %) of now minus then, from the two measurements. */
  readonly uncertainty: readonly number[];
  /**
   * Set if one of the two is at its noise floor, so that the difference is a bound; `none` if both
   * are and the difference is unknown.
   */
  readonly bound: readonly ("upper" | "lower" | "none" | undefined)[];
}

/**
 * Which curves are compared: `all` of them, or the `telling` ones, which alone determine the state
 * of a path. The others only describe a telling one, and a change of theirs is neither better nor
 * worse. A telling one without a significant change is not reported.
 */
export type ComparedCurves = "all" | "telling";

function isDescription(curve: string, { harm }: CurveThreshold): boolean {
  return harm === "none" && findCurveKind(curve)?.detail === true;
}

/** The band in three parts, as in ranking. */
const parts = [
  { part: "low", toHz: 250 },
  { part: "middle", toHz: 5000 },
  { part: "high", toHz: Number.POSITIVE_INFINITY },
] as const;

/** A change must hold over so much of an octave: five points of the response's 24. */
const sustainedOctaves = 5 / 24;

/**
 * The difference of two curves of one path. If they were read at different frequencies, the earlier
 * is interpolated on a logarithmic scale; frequencies outside either are left out.
 *
 * @returns undefined if they have no frequency in common
 */
export function computeCurveDifference(earlier: Curve, later: Curve): CurveDifference | undefined {
  if (isSameGrid(earlier.x, later.x)) return computeAlongOneGrid(earlier, later);
  const x: number[] = [];
  const before: number[] = [];
  const after: number[] = [];
  const uncertainty: number[] = [];
  const bound: CurveDifference["bound"][number][] = [];
  const { x: grid, y, uncertainty: doubts } = earlier;
  const last = grid.length - 1;
  let high = 0;
  for (let i = 0; i < later.x.length; i++) {
    const hz = later.x[i];
    if (last < 0 || hz < grid[0] * (1 - sameHz) || hz > grid[last] * (1 + sameHz)) continue;
    while (high < last && grid[high] < hz * (1 - sameHz)) high++;
    const isSame = high === 0 || grid[high] <= hz * (1 + sameHz);
    const low = isSame ? high : high - 1;
    const share = isSame ? 0 : Math.log(hz / grid[low]) / Math.log(grid[high] / grid[low]);
    const value = y[low] + share * (y[high] - y[low]);
    const drownedThen = isBoundAt(earlier, low) || isBoundAt(earlier, high);
    const drownedNow = isBoundAt(later, i);
    x.push(hz);
    before.push(value);
    after.push(later.y[i]);
    uncertainty.push(Math.hypot(Math.max(doubts[low], doubts[high]), later.uncertainty[i]));
    bound.push(findBound(drownedThen, drownedNow));
  }
  return x.length === 0 ? undefined : { x, earlier: before, later: after, uncertainty, bound };
}

/** The usual case: both rounds were read at the same frequencies, and nothing is interpolated. */
function computeAlongOneGrid(earlier: Curve, later: Curve): CurveDifference | undefined {
  const { x } = later;
  if (x.length === 0) return undefined;
  const uncertainty = new Array<number>(x.length);
  const bound = new Array<CurveDifference["bound"][number]>(x.length).fill(undefined);
  for (let i = 0; i < x.length; i++) {
    uncertainty[i] = Math.hypot(earlier.uncertainty[i], later.uncertainty[i]);
  }
  // A curve without a floor has no bounds.
  if (earlier.floor !== undefined || later.floor !== undefined) {
    for (let i = 0; i < x.length; i++) {
      bound[i] = findBound(isBoundAt(earlier, i), isBoundAt(later, i));
    }
  }
  return { x, earlier: earlier.y, later: later.y, uncertainty, bound };
}

function findBound(drownedThen: boolean, drownedNow: boolean): CurveDifference["bound"][number] {
  if (drownedThen) return drownedNow ? "none" : "lower";
  return drownedNow ? "upper" : undefined;
}

/** Grids are written with five figures; the same frequency may differ in the last. */
const sameHz = 1e-4;

/**
 * Compares the curves of one family: at every frequency each path's change minus that of its
 * siblings, and in each part of the band the largest that adjacent points share.
 *
 * @param pairs its paths that both rounds have measured
 * @param which `telling` leaves out the curves that only describe what another one says
 * @returns what came of each pair, in order; where both have the curve, one entry a part
 */
export function compareCurves(
  pairs: readonly PathPair[],
  conditions: Conditions,
  which: ComparedCurves = "all",
): {
  readonly changes: readonly (readonly CurveChange[])[];
  readonly shifts: readonly FamilyShift[];
} {
  const changes = pairs.map(() => [] as CurveChange[]);
  const shifts: FamilyShift[] = [];
  const names = new Set(pairs.flatMap(({ later }) => Object.keys(later.curves)));
  for (const name of names) {
    const floor = getCurveThreshold(name);
    if (floor === undefined || (which === "telling" && isDescription(name, floor))) continue;
    const rows = pairs.flatMap(({ path, earlier, later }, k) => {
      const [before, after] = [earlier.curves[name], later.curves[name]];
      if (before === undefined || after === undefined || before.yUnit !== after.yUnit) return [];
      if (conditions.refused(name, path) !== undefined) return [];
      const difference = computeCurveDifference(before, after);
      return difference === undefined ? [] : [{ k, difference, unit: after.yUnit }];
    });
    if (rows.length === 0) continue;
    const differences = rows.map(({ difference }) => difference);
    const { points: crowd, places } = crowdAlong(differences, floor);
    const judged = createJudgedPoints(Math.max(...differences.map(({ x }) => x.length)));
    for (const [row, { k, difference }] of rows.entries()) {
      const path = { difference, crowd, places: places[row] };
      const sustained = countSustained(difference.x);
      judgePoints(path, floor.leastDb, judged);
      if (which === "telling" && judged.realCount < sustained) continue;
      for (const found of worstParts(path, floor, judged, sustained)) {
        changes[k].push({ curve: name, ...found });
      }
    }
    const shift = largestShift(name, pairs[0].family, crowd, floor);
    if (shift) shifts.push(shift);
  }
  return { changes, shifts };
}

/** The change of the family at a frequency. */
interface CrowdPoint {
  readonly hz: number;
  readonly crowd: Scatter;
  readonly paths: number;
  /** Its median in both rounds: only needed at few frequencies. */
  readonly middles: () => { readonly earlier: number; readonly later: number };
}

/**
 * The change of the siblings at each frequency; undefined if too few of them have a point there.
 */
type Crowd = readonly (CrowdPoint | undefined)[];

function crowdAlong(
  differences: readonly CurveDifference[],
  { leastDb: least }: CurveThreshold,
): { readonly points: Crowd; readonly places: readonly (readonly number[])[] } {
  const { grid, places } = joinGrids(differences.map(({ x }) => x));
  // One row a frequency; a path has one point at each at most, or a few that lie as close.
  const width = Math.max(...places.map(widestAt)) * differences.length;
  const change = new Float64Array(grid.length * width);
  const doubt = new Float64Array(grid.length * width);
  const owner = new Int32Array(grid.length * width);
  const index = new Int32Array(grid.length * width);
  const counts = new Int32Array(grid.length);
  for (let k = 0; k < differences.length; k++) {
    const { earlier, later, uncertainty, bound } = differences[k];
    const own = places[k];
    for (let i = 0; i < bound.length; i++) {
      if (bound[i] !== undefined) continue;
      const at = own[i] * width + counts[own[i]]++;
      change[at] = later[i] - earlier[i];
      doubt[at] = uncertainty[i];
      owner[at] = k;
      index[at] = i;
    }
  }
  const points = grid.map((hz, place): CrowdPoint | undefined => {
    const paths = counts[place];
    if (paths < minSiblings) return undefined;
    const [from, to] = [place * width, place * width + paths];
    const granted = Math.hypot(least / 10, median(doubt.subarray(from, to)) / 2);
    const crowd = computeCommonShift(change.subarray(from, to), granted);
    if (crowd === undefined) return undefined;
    const middle = (side: "earlier" | "later") => {
      const values = new Float64Array(paths);
      for (let n = 0; n < paths; n++) {
        values[n] = differences[owner[from + n]][side][index[from + n]];
      }
      return median(values);
    };
    const middles = () => ({ earlier: middle("earlier"), later: middle("later") });
    return { hz, crowd, paths, middles };
  });
  return { points, places };
}

/** The most points of one curve that share a place; they rise, so that these are neighbours. */
function widestAt(places: readonly number[]): number {
  let widest = 1;
  let same = 1;
  for (let i = 1; i < places.length; i++) {
    same = places[i] === places[i - 1] ? same + 1 : 1;
    if (same > widest) widest = same;
  }
  return widest;
}

/**
 * One grid of all frequencies that several curves have, to the four digits that distinguish points
 * of a grid, and for each curve where its points lie in it. Curves of one round mostly have the
 * very same frequencies.
 */
function joinGrids(grids: readonly (readonly number[])[]): {
  readonly grid: readonly number[];
  readonly places: readonly (readonly number[])[];
} {
  const distinct: (readonly number[])[] = [];
  const which = grids.map((grid) => {
    const known = distinct.findIndex((one) => isSameGrid(one, grid));
    return known < 0 ? distinct.push(grid) - 1 : known;
  });
  const keys = distinct.map((grid) => grid.map((hz) => hz.toPrecision(4)));
  const first = new Map<string, number>();
  for (const [k, grid] of distinct.entries()) {
    for (const [i, hz] of grid.entries()) {
      if (!first.has(keys[k][i])) first.set(keys[k][i], hz);
    }
  }
  const sorted = [...first].sort(([, a], [, b]) => a - b);
  const placeOf = new Map(sorted.map(([key], place) => [key, place]));
  const own = keys.map((named) => named.map((key) => placeOf.get(key) ?? 0));
  return { grid: sorted.map(([, hz]) => hz), places: which.map((k) => own[k]) };
}

function isSameGrid(one: readonly number[], other: readonly number[]): boolean {
  if (one === other) return true;
  if (one.length !== other.length) return false;
  for (let i = 0; i < one.length; i++) if (one[i] !== other[i]) return false;
  return true;
}

/** The change that adjacent points share. */
interface SustainedChange {
  /** The point that changed most, of those judged. */
  readonly largest: number;
  /** The least significant point. */
  readonly weakest: number;
  /** Whether it is significant at every one of them. */
  readonly real: boolean;
}

/** The points of one curve that can be judged; made once for all paths of a family. */
interface JudgedPoints {
  /** How many there are. */
  count: number;
  /** How many of them changed significantly. */
  realCount: number;
  /** Indices on the curve. */
  readonly at: Int32Array;
  readonly own: Float64Array;
  readonly significance: Float64Array;
  /** 1 if the point's change is significant. */
  readonly real: Uint8Array;
}

function createJudgedPoints(most: number): JudgedPoints {
  return {
    count: 0,
    realCount: 0,
    at: new Int32Array(most),
    own: new Float64Array(most),
    significance: new Float64Array(most),
    real: new Uint8Array(most),
  };
}

/** The change of one path, and of its siblings at the same frequencies. */
interface PathCurve {
  readonly difference: CurveDifference;
  readonly crowd: Crowd;
  /** Of each point, in the crowd. */
  readonly places: readonly number[];
}

/** Judges all points of a path's curve except those with an unknown difference. */
function judgePoints({ difference, crowd, places }: PathCurve, least: number, into: JudgedPoints) {
  const { earlier, later, uncertainty, bound } = difference;
  let count = 0;
  let realCount = 0;
  for (let i = 0; i < bound.length; i++) {
    const side = bound[i];
    if (side === "none") continue;
    const scatter = crowd[places[i]]?.crowd;
    const around = scatter ?? noCrowd;
    const own = later[i] - earlier[i] - around.median;
    const measured = side === undefined ? uncertainty[i] : 0;
    const spread = Math.hypot(around.scale, measured / 2, computeAssumedScatter(least, scatter));
    const significance = computeSignificance(own, spread, around);
    into.at[count] = i;
    into.own[count] = own;
    into.significance[count] = significance;
    const real = isReal(own, significance, side) ? 1 : 0;
    realCount += real;
    into.real[count++] = real;
  }
  into.count = count;
  into.realCount = realCount;
}

function worstParts(
  path: PathCurve,
  { leastDb: least, harm }: CurveThreshold,
  points: JudgedPoints,
  sustained: number,
): readonly Omit<CurveChange, "curve">[] {
  const { difference, crowd, places } = path;
  const { x, earlier, later, uncertainty, bound } = difference;
  let end = 0;
  return parts.flatMap(({ part, toHz }) => {
    const start = end;
    while (end < points.count && x[points.at[end]] < toHz) end++;
    const worst = sustainedWorst(points, start, end, sustained);
    if (worst === undefined) return [];
    const i = points.at[worst.largest];
    const side = bound[i];
    const found = { difference: later[i] - earlier[i], repeat: 0, least };
    const judged = judgeChange(
      side === undefined || side === "none"
        ? { ...found, measured: uncertainty[i] }
        : { ...found, measured: 0, bound: side },
      crowd[places[i]]?.crowd,
    );
    const usual = harm === "both" ? crowd[places[i]]?.middles() : undefined;
    const place = usual && {
      offThen: earlier[i] - usual.earlier,
      offNow: later[i] - usual.later,
    };
    return [
      {
        part,
        unit: "dB",
        atHz: x[i],
        earlier: earlier[i],
        later: later[i],
        ...judged,
        significance: points.significance[worst.weakest],
        real: worst.real,
        course: classifyCourseAt(harm, judged.own, place),
      },
    ];
  });
}

/**
 * Of all runs of adjacent points that moved the same way, the one whose weakest point moved most.
 *
 * @param start the first point considered
 * @param end one past the last
 */
function sustainedWorst(
  { own, significance, real }: JudgedPoints,
  start: number,
  end: number,
  sustained: number,
): SustainedChange | undefined {
  let worst: SustainedChange | undefined;
  let most = -1;
  let sameWay = 0;
  for (let i = start; i < end; i++) {
    const isLikeTheLast =
      i > start && Math.sign(significance[i]) === Math.sign(significance[i - 1]);
    sameWay = isLikeTheLast ? sameWay + 1 : 1;
    if (sameWay < sustained) continue;
    const first = i + 1 - sustained;
    let weakest = first;
    for (let k = first + 1; k <= i; k++) {
      if (Math.abs(significance[k]) < Math.abs(significance[weakest])) weakest = k;
    }
    if (Math.abs(significance[weakest]) <= most) continue;
    most = Math.abs(significance[weakest]);
    let largest = first;
    let isAllReal = true;
    for (let k = first; k <= i; k++) {
      isAllReal &&= real[k] === 1;
      if (Math.abs(own[k]) > Math.abs(own[largest])) largest = k;
    }
    worst = { largest, weakest, real: isAllReal };
  }
  return worst;
}

/** The number of adjacent points over which a change must hold. */
function countSustained(x: readonly number[]): number {
  return Math.max(1, Math.round(sustainedOctaves * pointsPerOctave(x)));
}

function pointsPerOctave(x: readonly number[]): number {
  const [first, last] = [x[0], x.at(-1)];
  if (first === undefined || last === undefined || last <= first) return 1;
  return (x.length - 1) / Math.log2(last / first);
}

/** The frequency of the largest common change of a family's curves, if significant. */
function largestShift(
  reading: string,
  family: string,
  crowd: Crowd,
  { leastDb: least, harm }: CurveThreshold,
): FamilyShift | undefined {
  const points = crowd.filter((point) => point !== undefined);
  const sustained = countSustained(points.map(({ hz }) => hz));
  const assumed = computeAssumedShift(least);
  let worst: (CrowdPoint & { readonly deviation: number }) | undefined;
  let sameWay = 0;
  let lastSign = 0;
  for (let i = 0; i < points.length; i++) {
    const { median: moved } = points[i].crowd;
    const deviation = Math.hypot(computeShiftError(points[i].crowd), assumed);
    const sign = Math.abs(moved / deviation) < realSignificance ? 0 : Math.sign(moved);
    sameWay = sign === 0 ? 0 : sign === lastSign ? sameWay + 1 : 1;
    lastSign = sign;
    if (sameWay < sustained) continue;
    for (let k = i + 1 - sustained; k <= i; k++) {
      if (worst !== undefined && Math.abs(points[k].crowd.median) <= Math.abs(worst.crowd.median))
        continue;
      worst = { ...points[k], deviation: Math.hypot(computeShiftError(points[k].crowd), assumed) };
    }
  }
  if (worst === undefined) return undefined;
  const { hz: atHz, crowd: scatter, paths, deviation } = worst;
  return {
    reading,
    family,
    paths,
    shift: scatter.median,
    unit: "dB",
    uncertainty: 2 * deviation,
    course: classifyCourse(harm === "both" ? "none" : harm, scatter.median),
    atHz,
  };
}
