import type { OwnShare } from "../reading-kind.js";
import { hotDb, thd, thdHot } from "../readings/distortion.js";
import type { Curve, Curves, Reading, Readings } from "../types.js";
import { isBound, type SteadyPart } from "./subtract-interface.js";

/** Points of a curve that are bounds have this uncertainty or more, decibels. */
const boundDb = 6;
/** Of a line that is not seen, a quarter of its bound's power: between nothing and the bound. */
const unseenShare = 0.25;

/** Readings and curves of a path, or of an interface. */
export interface Figures {
  readonly readings: Readings;
  readonly curves: Curves;
}

/**
 * The steady part of a reading that is a power: line by line where both curves of lines are there, else
 * the reading of them all.
 *
 * @param share how the interface's own adds in the reading
 * @param outputShare how much more of the interface's output comes back, as a power ratio
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
  if (share.adds !== "power") return [];
  const scale = (1 + outputShare) / 2;
  const { lines, steady } = share;
  const [mine, theirs] = lines === undefined ? [] : [heard.curves[lines], own.curves[lines]];
  if (mine && theirs) {
    return mine.x.flatMap((hz, k) => {
      const j = theirs.x.indexOf(hz);
      return j < 0 ? [] : pair(pointOf(mine, k), pointOf(theirs, j), scale);
    });
  }
  if (steady === undefined) return [];
  const [all, allOwn] = [heard.readings[steady], own.readings[steady]];
  return all && allOwn ? pair(all, allOwn, scale) : [];
}

function pointOf({ y, uncertainty, yUnit }: Curve, k: number): Reading {
  const point = { value: y[k], unit: yUnit, uncertainty: uncertainty[k] };
  return point.uncertainty < boundDb ? point : { ...point, bound: "upper" };
}

/** Two bounds say nothing of a line; one bound beside a line may hide one that meets it. */
function pair(heard: Reading, own: Reading, scale: number): SteadyPart[] {
  if (isBound(heard) && isBound(own)) return [];
  const power = (reading: Reading) =>
    10 ** (reading.value / 10) * (isBound(reading) ? unseenShare : 1);
  return [{ heard: power(heard), own: scale * power(own) }];
}

/**
 * By how much the interface's own harmonics or lines may stand higher behind a path than in the
 * loopback, decibels. Its output sent the same; its input had more or less. How they divide nobody
 * knows, so what counts is the greater.
 *
 * @param id of the reading
 * @param share how the interface's own adds in it
 * @param own the interface's readings
 * @param levelDb level of the path's return above that of the loopback
 * @example
 * // A third harmonic goes with twice the level against the fundamental.
 * computeRise("harmonic3", { adds: "phase", rise: 2 }, {}, 6); // 12
 * computeRise("noise", { adds: "power" }, {}, 6); // 0
 */
export function computeRise(id: string, share: OwnShare, own: Readings, levelDb: number): number {
  if (share.adds !== "phase" || levelDb <= 0) return 0;
  // Lines of the mains pass with the gain.
  if (share.rise === undefined) return levelDb;
  const [low, high] = [own[thd.id], own[thdHot.id]];
  if (id === thd.id && low && high && levelDb <= hotDb) {
    // A sum of powers of the level, in decibels against decibels, lies below its chord.
    return (Math.max(0, high.value - low.value) / hotDb) * levelDb;
  }
  return share.rise * levelDb;
}
