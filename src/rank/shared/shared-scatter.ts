import type { SharedAspect } from "./types.js";

/**
 * What a shared part does scatters from path to path by this share of itself, up to some decibels:
 * contacts and the rejection of stages differ, a filter after them does not (common practice).
 */
const sharedScatter: Readonly<Record<SharedAspect, number>> = {
  dead: 0,
  polarity: 0,
  level: 0.1,
  bass: 0.03,
  treble: 0.05,
  noise: 0.05,
  "hum-odd": 0.1,
  "hum-even": 0.1,
  distortion: 0.1,
  clipping: 0.1,
};
const mostSharedScatter = 2;

/**
 * How far what a shared part does may scatter from path to path, as known beforehand.
 *
 * @param deviation what it does, in the unit of the reading
 * @returns standard deviation in that unit
 * @example
 * computeSharedScatter("distortion", 16); // 1.6
 */
export function computeSharedScatter(aspect: SharedAspect, deviation: number): number {
  return Math.min(mostSharedScatter, sharedScatter[aspect] * Math.abs(deviation));
}
