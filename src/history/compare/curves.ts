import { median } from "../../dsp/robust.js";
import { isBoundAt } from "../../measure/curve-bounds.js";
import type { Curve } from "../../measure/types.js";
import { minSiblings } from "../../rank/family-stats.js";
import type { Scatter } from "../../rank/robust-stats.js";
import { classifyCourseAt, computeAssumedShift, judgeChange, realSignificance } from "./change.js";
import type { Conditions } from "./conditions.js";
import type { PathPair } from "./path-pairs.js";
import type { FamilyShift } from "./readings.js";
import { computeCommonShift, computeShiftError } from "./shift.js";
import { type CurveThreshold, classifyCourse, getCurveThreshold } from "./thresholds.js";
import type { CurveChange } from "./types.js";

/** What became of a curve between two rounds, at the frequencies of the later one. */
export interface CurveDifference {
  /** Hz, rising. */
  readonly x: readonly number[];
  readonly earlier: readonly number[];
  readonly later: readonly number[];
  /** Expanded uncertainty (95 %) of now minus then, by the two measurements. */
  readonly uncertainty: readonly number[];
  /**
   * Where one of the two lies at its floor and the difference is a bound; `none` where both do and
   * nothing can be said.
   */
  readonly bound: readonly ("upper" | "lower" | "none" | undefined)[];
}

/** The band in three parts, as ranking judges it. */
const parts = [
  { part: "low", fromHz: 0, toHz: 250 },
  { part: "middle", fromHz: 250, toHz: 5000 },
  { part: "high", fromHz: 5000, toHz: Number.POSITIVE_INFINITY },
] as const;

/** A change must hold over so much of an octave: five points of the response's 24. */
const sustainedOctaves = 5 / 24;

/**
 * Two curves of one path as their difference. Where they were read at other frequencies, the
 * earlier is interpolated along a logarithmic scale; what only one of them reaches is left out.
 *
 * @returns undefined where they have no frequency in common
 */
export function computeCurveDifference(earlier: Curve, later: Curve): CurveDifference | undefined {
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

function findBound(drownedThen: boolean, drownedNow: boolean): CurveDifference["bound"][number] {
  if (drownedThen) return drownedNow ? "none" : "lower";
  return drownedNow ? "upper" : undefined;
}

/** Grids are written with five figures; the same frequency may differ in the last. */
const sameHz = 1e-4;

/**
 * Compares the curves of one family: at every frequency each path's change less what its siblings
 * did, and of each part of the band the largest that neighbouring points share.
 *
 * @param pairs its paths that both rounds have measured
 * @returns what came of each pair, in order; where both have the curve, one entry a part
 */
export function compareCurves(
  pairs: readonly PathPair[],
  conditions: Conditions,
): {
  readonly changes: readonly (readonly CurveChange[])[];
  readonly shifts: readonly FamilyShift[];
} {
  const changes = pairs.map(() => [] as CurveChange[]);
  const shifts: FamilyShift[] = [];
  const names = new Set(pairs.flatMap(({ later }) => Object.keys(later.curves)));
  for (const name of names) {
    const floor = getCurveThreshold(name);
    if (floor === undefined) continue;
    const rows = pairs.flatMap(({ path, earlier, later }, k) => {
      const [before, after] = [earlier.curves[name], later.curves[name]];
      if (before === undefined || after === undefined || before.yUnit !== after.yUnit) return [];
      if (conditions.refused(name, path) !== undefined) return [];
      const difference = computeCurveDifference(before, after);
      return difference === undefined ? [] : [{ k, difference, unit: after.yUnit }];
    });
    if (rows.length === 0) continue;
    const { points, places } = crowdAlong(
      rows.map(({ difference }) => difference),
      floor,
    );
    for (const [row, { k, difference }] of rows.entries()) {
      const crowd = places[row].map((place) => points[place]);
      changes[k].push(...worstParts(name, difference, crowd, floor));
    }
    const shift = largestShift(name, pairs[0].family, points, floor);
    if (shift) shifts.push(shift);
  }
  return { changes, shifts };
}

/** What the family did at a frequency, and where its middle lay in both rounds. */
interface CrowdPoint {
  readonly hz: number;
  readonly crowd: Scatter;
  readonly paths: number;
  readonly earlier: number;
  readonly later: number;
}

/** What the siblings did at a point; undefined where too few of them have one there. */
type Crowd = readonly (CrowdPoint | undefined)[];

function crowdAlong(
  differences: readonly CurveDifference[],
  { leastDb: least }: CurveThreshold,
): { readonly points: Crowd; readonly places: readonly (readonly number[])[] } {
  const { grid, places } = joinGrids(differences.map(({ x }) => x));
  const at = grid.map(() => ({
    earlier: [] as number[],
    change: [] as number[],
    doubt: [] as number[],
    later: [] as number[],
  }));
  for (let k = 0; k < differences.length; k++) {
    const { earlier, later, uncertainty, bound } = differences[k];
    for (let i = 0; i < bound.length; i++) {
      if (bound[i] !== undefined) continue;
      const point = at[places[k][i]];
      point.earlier.push(earlier[i]);
      point.later.push(later[i]);
      point.change.push(later[i] - earlier[i]);
      point.doubt.push(uncertainty[i]);
    }
  }
  const points = at.map(({ earlier, later, change, doubt }, place) => {
    if (earlier.length < minSiblings) return undefined;
    const granted = Math.hypot(least / 10, median(doubt) / 2);
    const crowd = computeCommonShift(change, granted);
    if (crowd === undefined) return undefined;
    const middles = { earlier: median(earlier), later: median(later) };
    return { hz: grid[place], crowd, paths: earlier.length, ...middles };
  });
  return { points, places };
}

/**
 * One grid of all frequencies that several curves have, to the four figures that tell points of a
 * grid apart, and for each curve where its points lie in it. Curves of one round mostly have the
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
  return one.length === other.length && one.every((hz, i) => hz === other[i]);
}

type Judged = ReturnType<typeof judgeChange>;

/** What neighbouring points share. */
interface SustainedChange {
  /** Index of the point that changed most. */
  readonly largest: number;
  /** Of the point that stands out least. */
  readonly significance: number;
  /** Whether it is real at every one of them. */
  readonly real: boolean;
}

function worstParts(
  curve: string,
  difference: CurveDifference,
  crowd: Crowd,
  { leastDb: least, harm }: CurveThreshold,
): readonly CurveChange[] {
  const { x, earlier, later, uncertainty, bound } = difference;
  const sustained = Math.max(1, Math.round(sustainedOctaves * pointsPerOctave(x)));
  return parts.flatMap(({ part, fromHz, toHz }) => {
    const at: number[] = [];
    const judged: Judged[] = [];
    for (let i = 0; i < x.length; i++) {
      const side = bound[i];
      if (x[i] < fromHz || x[i] >= toHz || side === "none") continue;
      at.push(i);
      const difference = later[i] - earlier[i];
      const found =
        side === undefined
          ? { difference, measured: uncertainty[i], repeat: 0, least }
          : { difference, measured: 0, repeat: 0, least, bound: side };
      judged.push(judgeChange(found, crowd[i]?.crowd));
    }
    const worst = sustainedWorst(judged, sustained);
    if (worst === undefined) return [];
    const { largest, significance, real } = worst;
    const i = at[largest];
    const usual = crowd[i];
    const place = usual && {
      offThen: earlier[i] - usual.earlier,
      offNow: later[i] - usual.later,
    };
    return [
      {
        curve,
        part,
        unit: "dB",
        atHz: x[i],
        earlier: earlier[i],
        later: later[i],
        ...judged[largest],
        significance,
        real,
        course: classifyCourseAt(harm, judged[largest].own, place),
      },
    ];
  });
}

/** Of all runs of neighbours that moved the same way, the one whose weakest point moved most. */
function sustainedWorst(points: readonly Judged[], sustained: number): SustainedChange | undefined {
  let worst: SustainedChange | undefined;
  let sameWay = 0;
  for (let i = 0; i < points.length; i++) {
    const sign = Math.sign(points[i].significance);
    const isLikeTheLast = i > 0 && sign === Math.sign(points[i - 1].significance);
    sameWay = isLikeTheLast ? sameWay + 1 : 1;
    if (sameWay < sustained) continue;
    const first = i + 1 - sustained;
    let weakest = first;
    for (let k = first + 1; k <= i; k++) {
      if (Math.abs(points[k].significance) < Math.abs(points[weakest].significance)) weakest = k;
    }
    const { significance } = points[weakest];
    if (worst !== undefined && Math.abs(significance) <= Math.abs(worst.significance)) continue;
    let largest = first;
    let real = true;
    for (let k = first; k <= i; k++) {
      real &&= points[k].real;
      if (Math.abs(points[k].own) > Math.abs(points[largest].own)) largest = k;
    }
    worst = { largest, significance, real };
  }
  return worst;
}

function pointsPerOctave(x: readonly number[]): number {
  const [first, last] = [x[0], x.at(-1)];
  if (first === undefined || last === undefined || last <= first) return 1;
  return (x.length - 1) / Math.log2(last / first);
}

/** Where a family's curves moved most in common, if they did for real. */
function largestShift(
  reading: string,
  family: string,
  crowd: Crowd,
  { leastDb: least, harm }: CurveThreshold,
): FamilyShift | undefined {
  const points = crowd.filter((point) => point !== undefined);
  const sustained = Math.max(
    1,
    Math.round(sustainedOctaves * pointsPerOctave(points.map(({ hz }) => hz))),
  );
  const judged = points.map((point) => {
    const deviation = Math.hypot(computeShiftError(point.crowd), computeAssumedShift(least));
    return { ...point, deviation, significance: point.crowd.median / deviation };
  });
  let worst: (typeof judged)[number] | undefined;
  for (let first = 0; first + sustained <= judged.length; first++) {
    const run = judged.slice(first, first + sustained);
    const sign = Math.sign(run[0].significance);
    if (run.some(({ significance }) => sign * significance < realSignificance)) continue;
    const largest = run.reduce((a, b) =>
      Math.abs(b.crowd.median) > Math.abs(a.crowd.median) ? b : a,
    );
    if (!worst || Math.abs(largest.crowd.median) > Math.abs(worst.crowd.median)) worst = largest;
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
