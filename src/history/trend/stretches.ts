import type { SeriesPoint } from "./series.js";

/** A path's own stretches, with the readings and the epochs that the rounds had. */
export function withEpochsOf(
  read: readonly SeriesPoint[],
  parted: readonly SeriesPoint[],
): readonly SeriesPoint[] {
  const byRound = new Map(read.map((point) => [point.round, point]));
  const last = parted.at(-1)?.epoch ?? 0;
  return parted.map((point) => {
    const { y, epoch } = byRound.get(point.round) ?? point;
    return { ...point, y, epoch: epoch + (point.epoch - last) };
  });
}

/** The points of the last epoch. */
export function lastStretch(points: readonly SeriesPoint[]): readonly SeriesPoint[] {
  const last = points.at(-1);
  return points.filter(({ epoch }) => epoch === last?.epoch);
}

/** Twice what corners scatter by at least from take to take, nepers: nothing dries within it. */
const stillWithin = 0.006;

/** Whether all points lie so close together that nothing dried. */
export function standsStill(points: readonly SeriesPoint[]): boolean {
  let [lowest, highest] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const { y } of points) {
    lowest = Math.min(lowest, y);
    highest = Math.max(highest, y);
  }
  return highest - lowest <= stillWithin;
}
