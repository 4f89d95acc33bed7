import { median } from "../../dsp/robust.js";
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
/** Rounding may part a point a little from the floor that it lies at. */
const floorRoundingDb = 0.01;

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
  let from = 0;
  for (let i = 0; i < later.x.length; i++) {
    const hz = later.x[i];
    const at = placeIn(earlier.x, hz, from);
    if (at === undefined) continue;
    from = at.low;
    const value = between(earlier.y, at);
    const drownedThen =
      earlier.floor !== undefined && value <= between(earlier.floor, at) + floorRoundingDb;
    const drownedNow = later.floor !== undefined && later.y[i] <= later.floor[i] + floorRoundingDb;
    const doubt = Math.max(earlier.uncertainty[at.low], earlier.uncertainty[at.high]);
    x.push(hz);
    before.push(value);
    after.push(later.y[i]);
    uncertainty.push(Math.hypot(doubt, later.uncertainty[i]));
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

/** A place between two points of a curve. */
interface PlaceOnCurve {
  readonly low: number;
  readonly high: number;
  /** Of the way from low to high, on a logarithmic scale. */
  readonly share: number;
}

function between(list: readonly number[], { low, high, share }: PlaceOnCurve): number {
  return list[low] + share * (list[high] - list[low]);
}

/** @param from index of a point that lies no higher than the frequency; 0 where none is known */
function placeIn(x: readonly number[], hz: number, from: number): PlaceOnCurve | undefined {
  const last = x.length - 1;
  if (last < 0) return undefined;
  if (hz < x[0] * (1 - sameHz) || hz > x[last] * (1 + sameHz)) return undefined;
  let high = from;
  while (high < last && x[high] < hz * (1 - sameHz)) high++;
  if (x[high] <= hz * (1 + sameHz) || high === 0) return { low: high, high, share: 0 };
  return {
    low: high - 1,
    high,
    share: Math.log(hz / x[high - 1]) / Math.log(x[high] / x[high - 1]),
  };
}

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
    const crowd = crowdAlong(
      rows.map(({ difference }) => difference),
      floor,
    );
    for (const { k, difference } of rows) {
      changes[k].push(...worstParts(name, difference, crowd, floor));
    }
    const shift = largestShift(name, pairs[0].family, crowd, floor);
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

/** By frequency, to the figures that tell points of a grid apart. */
type Crowd = ReadonlyMap<string, CrowdPoint>;

/** Keys by frequency: a grid has a few hundred, and each is asked for on every path. */
const keys = new Map<number, string>();
const mostKeys = 10_000;

function keyOf(hz: number): string {
  const known = keys.get(hz);
  if (known !== undefined) return known;
  if (keys.size >= mostKeys) keys.clear();
  const key = hz.toPrecision(4);
  keys.set(hz, key);
  return key;
}

function crowdAlong(
  differences: readonly CurveDifference[],
  { leastDb: least }: CurveThreshold,
): Crowd {
  const at = new Map<string, { hz: number; earlier: number[]; later: number[]; doubt: number[] }>();
  for (const { x, earlier, later, uncertainty, bound } of differences) {
    x.forEach((hz, i) => {
      if (bound[i] !== undefined) return;
      const key = keyOf(hz);
      const point = at.get(key) ?? { hz, earlier: [], later: [], doubt: [] };
      at.set(key, point);
      point.earlier.push(earlier[i]);
      point.later.push(later[i]);
      point.doubt.push(uncertainty[i]);
    });
  }
  const crowd = new Map<string, CrowdPoint>();
  for (const [key, { hz, earlier, later, doubt }] of at) {
    if (earlier.length < minSiblings) continue;
    const granted = Math.hypot(least / 10, median(doubt) / 2);
    const shift = computeCommonShift(
      later.map((value, i) => value - earlier[i]),
      granted,
    );
    if (shift === undefined) continue;
    const middles = { earlier: median(earlier), later: median(later) };
    crowd.set(key, { hz, crowd: shift, paths: earlier.length, ...middles });
  }
  return crowd;
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
      judged.push(
        judgeChange(
          {
            difference: later[i] - earlier[i],
            measured: side === undefined ? uncertainty[i] : 0,
            repeat: 0,
            least,
            ...(side === undefined ? {} : { bound: side }),
          },
          crowd.get(keyOf(x[i]))?.crowd,
        ),
      );
    }
    const worst = sustainedWorst(judged, sustained);
    if (worst === undefined) return [];
    const { largest, significance, real } = worst;
    const i = at[largest];
    const usual = crowd.get(keyOf(x[i]));
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
  for (let first = 0; first + sustained <= points.length; first++) {
    const sign = Math.sign(points[first].significance);
    let [weakest, largest, real] = [first, first, true];
    let isAlike = true;
    for (let k = first; k < first + sustained; k++) {
      const { significance, own } = points[k];
      isAlike &&= Math.sign(significance) === sign;
      real &&= points[k].real;
      if (Math.abs(significance) < Math.abs(points[weakest].significance)) weakest = k;
      if (Math.abs(own) > Math.abs(points[largest].own)) largest = k;
    }
    const { significance } = points[weakest];
    if (!isAlike) continue;
    if (worst !== undefined && Math.abs(significance) <= Math.abs(worst.significance)) continue;
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
  const points = [...crowd.values()];
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
