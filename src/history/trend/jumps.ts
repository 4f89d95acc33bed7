import { median, qn } from "../../dsp/robust.js";
import type { Series, SeriesPoint } from "./series.js";

/** A series with its jumps as further epochs and without what lies off. */
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
 * Parts the series of one family where a path jumped: parts do not get better by themselves, nor
 * worse from one round to the next by many times what they did before. Steps are judged against the
 * scatter of all siblings' steps. A point from which a series comes straight back lies off and is
 * left out.
 *
 * @param least steps smaller than this are never taken for jumps; on the scale of the series
 */
export function splitAtJumps(family: readonly Series[], least: number): readonly SplitSeries[] {
  const steps = family.map(({ points }) => excessSteps(points));
  const all = steps.flat().map(({ excess }) => excess);
  const scatter = all.length > 2 ? qn(all) : 0;
  const threshold = Math.max(least, jumpDeviations * scatter);
  return family.map(({ points }, k) => parted(points, steps[k], threshold));
}

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
    const back = next !== undefined && next.at === at + 1 && next.excess * excess < 0;
    if (back && Math.abs(next.excess + excess) < threshold) {
      leftOut.push(points[at].round);
      k++;
      continue;
    }
    const { round, y } = points[at];
    jumps.push({ round, y, expected: y - excess });
    starts.push(at);
  }
  const kept = points
    .map((point, i) => ({
      ...point,
      // Whole epochs of the desk stay apart from the path's own.
      epoch: point.epoch + starts.filter((start) => start <= i).length * 1000,
    }))
    .filter(({ round }) => !leftOut.includes(round));
  return { points: kept, jumps, leftOut };
}
