import { median, qn } from "../../dsp/robust.js";
import type { Series, SeriesPoint } from "./series.js";

/** A series with its jumps as further epochs and without outliers. */
export interface SplitSeries {
  readonly points: readonly SeriesPoint[];
  /** With the value that the point has, and the one that the years account for. */
  readonly jumps: readonly {
    readonly round: number;
    readonly y: number;
    readonly expected: number;
  }[];
  readonly leftOut: readonly number[];
}

/** A step this many standard deviations from what the years account for is no ageing. */
const jumpDeviations = 7;

/**
 * Splits the series of one family where a path jumped: components do not get better on their own, nor
 * worse from one round to the next by many times what they did before. Steps are judged against the
 * scatter of all siblings' steps. A point from which a series comes straight back is an outlier and is
 * left out.
 *
 * @param least steps smaller than this are never taken for jumps; on the scale of the series
 * @param continues the course of a stretch by a part's own law of ageing, where it has one: a step on
 *   that course is no jump, however large
 */
export function splitAtJumps(
  family: readonly Series[],
  least: number,
  continues?: Continues,
): readonly SplitSeries[] {
  const steps = family.map(({ points }) => excessSteps(points));
  const all = steps.flat().map(({ excess }) => excess);
  const scatter = all.length > 2 ? qn(all) : 0;
  const threshold = Math.max(least, jumpDeviations * scatter);
  return family.map(({ points }, k) =>
    continues ? partByLaw(points, threshold, continues) : parted(points, steps[k], threshold),
  );
}

/** The largest distance of a stretch's points from the law; undefined if it cannot be theirs. */
export type Continues = (points: readonly SeriesPoint[]) => number | undefined;

/** Points follow a law if none is off by more than this part of a jump. */
const leastOfJump = 0.75;

interface Step {
  /** Index of the point that the step leads to. */
  readonly at: number;
  /** Beyond the path's own yearly step. */
  readonly excess: number;
}

/** Steps between neighbours of one epoch, less the path's own middle slope. */
function excessSteps(points: readonly SeriesPoint[]): readonly Step[] {
  const raw = points.flatMap((point, i) => {
    const before = points[i - 1];
    if (before === undefined || before.epoch !== point.epoch) return [];
    const years = point.years - before.years;
    return years > 0 ? [{ at: i, step: point.y - before.y, years }] : [];
  });
  if (raw.length === 0) return [];
  const slope = median(raw.map(({ step, years }) => step / years));
  return raw.map(({ at, step, years }) => ({ at, excess: step - slope * years }));
}

function parted(
  points: readonly SeriesPoint[],
  steps: readonly Step[],
  threshold: number,
): SplitSeries {
  const jumps: { round: number; y: number; expected: number }[] = [];
  const leftOut: number[] = [];
  const starts: number[] = [];
  for (let k = 0; k < steps.length; k++) {
    const { at, excess } = steps[k];
    if (Math.abs(excess) <= threshold) continue;
    const next = steps[k + 1];
    if (next?.at === at + 1 && Math.abs(next.excess + excess) < threshold) {
      leftOut.push(points[at].round);
      k++;
      continue;
    }
    const { round, y } = points[at];
    jumps.push({ round, y, expected: y - excess });
    starts.push(at);
  }
  return { points: keep(points, starts, leftOut), jumps, leftOut };
}

/** Stretches of a series that each follow one law, and outliers. */
interface Stretches {
  readonly starts: readonly number[];
  readonly leftOut: readonly number[];
  /** How many stretches, and points left out. */
  readonly cost: number;
  /** The largest distance of a point from its law. */
  readonly farthest: number;
}

/**
 * The fewest breaks, or points left out, that leave stretches which follow the law: a step on its
 * course is no jump, however large.
 */
function partByLaw(
  points: readonly SeriesPoint[],
  threshold: number,
  continues: Continues,
): SplitSeries {
  if (distanceOf(points, threshold, continues) !== undefined) {
    return { points: keep(points, [], []), jumps: [], leftOut: [] };
  }
  const best: Stretches[] = [{ starts: [], leftOut: [], cost: 0, farthest: 0 }];
  for (let end = 1; end <= points.length; end++) {
    const ways = Array.from({ length: end }, (_, from) => {
      const before = best[from];
      const own = points.slice(from, end);
      const whole = distanceOf(own, threshold, continues);
      const skips = whole === undefined ? own.keys() : [];
      return [-1, ...skips].flatMap((skipped): Stretches[] => {
        // A point at either end of a stretch may as well be a stretch of its own.
        if (skipped === 0 || skipped === own.length - 1) return [];
        const off =
          skipped < 0
            ? whole
            : distanceOf(
                own.filter((_, i) => i !== skipped),
                threshold,
                continues,
              );
        if (off === undefined) return [];
        const left = skipped > 0 ? 1 : 0;
        return [
          {
            starts: from === 0 ? [] : [...before.starts, from],
            leftOut: left ? [...before.leftOut, own[skipped].round] : before.leftOut,
            cost: before.cost + 1 + left,
            farthest: Math.max(before.farthest, off),
          },
        ];
      });
    }).flat();
    best.push(
      ways.reduce((a, b) =>
        b.cost < a.cost || (b.cost === a.cost && b.farthest < a.farthest) ? b : a,
      ),
    );
  }
  const { starts, leftOut } = best[points.length];
  const jumps = starts.flatMap((at) => {
    const [before, here] = [points[at - 1], points[at]];
    // Between epochs of the desk something else was changed.
    if (before.epoch !== here.epoch) return [];
    return [{ round: here.round, y: here.y, expected: before.y }];
  });
  return { points: keep(points, starts, leftOut), jumps, leftOut };
}

/** Two points show only the step, one shows nothing. */
function distanceOf(
  points: readonly SeriesPoint[],
  threshold: number,
  continues: Continues,
): number | undefined {
  if (points.some(({ epoch }) => epoch !== points[0].epoch)) return undefined;
  // Parts do not get better on their own: no law holds over such a fall.
  const falls = points.map(({ y }, i) => (i === 0 ? 0 : points[i - 1].y - y));
  if (falls.some((fall) => fall > leastOfJump * threshold)) return undefined;
  const values = points.map(({ y }) => y);
  const range = Math.max(...values) - Math.min(...values);
  // Nothing stands out, whatever the law.
  if (range / 2 <= leastOfJump * threshold) return range / 2;
  const off = points.length > 2 ? continues(points) : undefined;
  return off !== undefined && off <= leastOfJump * threshold ? off : undefined;
}

function keep(
  points: readonly SeriesPoint[],
  starts: readonly number[],
  leftOut: readonly number[],
): readonly SeriesPoint[] {
  return points
    .map((point, i) => ({
      ...point,
      // Whole epochs of the desk stay apart from the path's own.
      epoch: point.epoch + starts.filter((start) => start <= i).length * 1000,
    }))
    .filter(({ round }) => !leftOut.includes(round));
}
