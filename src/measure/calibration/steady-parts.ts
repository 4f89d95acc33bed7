import { dbToPower } from "../../dsp/decibels.js";
import { boundDb, isBound } from "../is-bound.js";
import type { OwnShare } from "../reading-kind.js";
import { hotDb, thd, thdHot } from "../readings/distortion.js";
import type { Curve, Curves, Reading, Readings } from "../types.js";
import type { SteadyPart } from "./subtract-interface.js";

/**
 * Share of its bound's power assumed for a line that is not visible: between zero and the bound.
 */
const unseenShare = 0.25;

/** Readings and curves of a path, or of an interface. */
export interface Figures {
  readonly readings: Readings;
  readonly curves: Curves;
}

/**
 * The steady part of a reading, as powers: line by line if both curves of lines exist, else their
 * total; a reading of lines only uses the curves.
 *
 * @param share how the interface's share adds in the reading
 *
 * @param outputShare interface output returned, relative to the loopback, as a power ratio
 * @example
 * const none = { readings: {}, curves: {} };
 * pairSteadyParts({ adds: "phase" }, none, none, 1); // []
 */
export function pairSteadyParts(
  share: OwnShare,
  heard: Figures,
  own: Figures,
  outputShare: number,
): readonly SteadyPart[] {
  if (share.adds === "difference") return [];
  // A line comes from the output or the input, seldom both: for readings of lines only, the greater
  // counts.
  const scale = share.adds === "phase" ? Math.max(1, outputShare) : (1 + outputShare) / 2;
  const lines = pairLines(share, heard, own, scale);
  if (share.adds === "phase" || share.steady === undefined) return lines ?? [];
  const { steady, against } = share;
  if (lines !== undefined && against === undefined) return lines;
  const [all, allOwn] = [heard.readings[steady], own.readings[steady]];
  return [...(lines ?? []), ...(all && allOwn ? pair(all, allOwn, scale) : [])];
}

/** The lines of both, one by one; undefined if one of them has no such curve. */
function pairLines(
  share: Exclude<OwnShare, { adds: "difference" }>,
  heard: Figures,
  own: Figures,
  scale: number,
): readonly SteadyPart[] | undefined {
  if (share.lines === undefined) return undefined;
  const [mine, theirs] = [heard.curves[share.lines], own.curves[share.lines]];
  if (!mine || !theirs) return undefined;
  const against = share.adds === "power" ? share.against : undefined;
  const [here, there] = [heard, own].map(({ readings }) =>
    against === undefined ? 0 : readings[against]?.value,
  );
  if (here === undefined || there === undefined) return undefined;
  return mine.x.flatMap((hz, k) => {
    if (share.adds === "phase" && !isOfOrders(k + 1, share.orders)) return [];
    const j = theirs.x.indexOf(hz);
    return j < 0 ? [] : pair(pointOf(mine, k, here), pointOf(theirs, j, there), scale);
  });
}

/** Curves of lines have one point per order, from the first. */
function isOfOrders(order: number, orders: "odd" | "even" | undefined): boolean {
  return orders === undefined || (order % 2 === 1) === (orders === "odd");
}

function pointOf({ y, uncertainty, yUnit }: Curve, k: number, against: number): Reading {
  const point = { value: y[k] - against, unit: yUnit, uncertainty: uncertainty[k] };
  return point.uncertainty < boundDb ? point : { ...point, bound: "upper" };
}

/**
 * Two bounds say nothing about a line; a bound on one side may hide a line that coincides with one
 * on the other.
 */
function pair(heard: Reading, own: Reading, scale: number): SteadyPart[] {
  if (isBound(heard) && isBound(own)) return [];
  const power = (reading: Reading) =>
    dbToPower(reading.value) * (isBound(reading) ? unseenShare : 1);
  return [{ heard: power(heard), own: scale * power(own) }];
}

/**
 * Decibels by which the interface's harmonics or lines may be higher after a path than in the
 * loopback. Its output sent the same; its input had a different level. How they divide between the
 * two is unknown, so the greater counts.
 *
 * @param id of the reading
 *
 * @param share how the interface's share adds in it
 * @param own the interface's readings
 * @param levelDb level of the path's return above that of the loopback
 * @example
 * // A third harmonic goes with twice the level against the fundamental.
 * computeRise("harmonic3", { adds: "phase", rise: 2 }, {}, 6); // 12
 * computeRise("noise", { adds: "power" }, {}, 6); // 0
 */
export function computeRise(id: string, share: OwnShare, own: Readings, levelDb: number): number {
  if (share.adds !== "phase" || levelDb <= 0) return 0;
  // Mains lines change with the gain.
  if (share.rise === undefined) return levelDb;
  const [low, high] = [own[thd.id], own[thdHot.id]];
  if (id === thd.id && low && high && levelDb <= hotDb) {
    // A sum of powers of the level is convex in decibels, so it is below its chord.
    return (Math.max(0, high.value - low.value) / hotDb) * levelDb;
  }
  return share.rise * levelDb;
}
