import { median } from "../../dsp/robust.js";
import type { Series, SeriesPoint } from "./series.js";

/** Fewer paths than this on both sides of a border do not show what the interface did to all. */
const leastPaths = 4;
/** A corner of which less than this part would be left, in squares, was mostly the interface's own. */
const leastLeft = 0.5;

/**
 * Subtracts from a family's corners the common effect of changing the interface, whose own corner
 * adds to theirs by the squares. Points before a border are converted to the last epoch, so that a
 * part's course continues across it. Each path keeps its changes in other years.
 *
 * @param family logarithms of corners
 * @returns the same series in one epoch; unchanged if too few paths show the change, or if an
 *   earlier corner was mostly that of the interface
 */
export function alignEpochs(family: readonly Series[]): readonly Series[] {
  const epochs = [...new Set(family.flatMap(({ points }) => points.map(({ epoch }) => epoch)))];
  epochs.sort((a, b) => b - a);
  let aligned = family;
  // The moved points belong to the last epoch from here on.
  for (let k = 1; k < epochs.length; k++) {
    const moved = moveEarlier(aligned, epochs[k], epochs[0]);
    if (moved === undefined) return family;
    aligned = moved;
  }
  return aligned;
}

/** Points of the earlier epoch and those before it, in squares moved by what most paths did. */
function moveEarlier(
  family: readonly Series[],
  earlier: number,
  later: number,
): readonly Series[] | undefined {
  const steps = family.flatMap(({ points }) => {
    const before = points.findLast(({ epoch }) => epoch === earlier);
    const after = points.find(({ epoch }) => epoch === later);
    if (before === undefined || after === undefined) return [];
    const aged = pacesOf(points);
    const pace = aged.length === 0 ? 0 : median(aged);
    return [square(after) - square(before) - pace * (after.years - before.years)];
  });
  if (steps.length < leastPaths) return undefined;
  const step = median(steps);
  const move = (point: SeriesPoint): SeriesPoint => {
    if (point.epoch > earlier) return point;
    const epoch = point.epoch === earlier ? later : point.epoch;
    const moved = square(point) + step;
    const enough = moved >= leastLeft * square(point);
    return { ...point, epoch, y: enough ? Math.log(moved) / 2 : Number.NaN };
  };
  const moved = family.map(({ path, points }) => ({ path, points: points.map(move) }));
  return moved.every(({ points }) => points.every(({ y }) => Number.isFinite(y)))
    ? moved
    : undefined;
}

const square = ({ y }: SeriesPoint) => Math.exp(2 * y);

/** Yearly change of the path's own parts, between neighbours of one epoch. */
function pacesOf(points: readonly SeriesPoint[]): readonly number[] {
  return points.flatMap((point, i) => {
    const before = points[i - 1];
    if (before === undefined || before.epoch !== point.epoch) return [];
    const years = point.years - before.years;
    return years > 0 ? [(square(point) - square(before)) / years] : [];
  });
}
