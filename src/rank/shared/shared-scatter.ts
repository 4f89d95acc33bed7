import { aspectFacets } from "./aspect-facets.js";
import type { SharedAspect } from "./types.js";

/** It scatters by a share of itself, up to so much (common practice). */
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
  return Math.min(mostSharedScatter, aspectFacets[aspect].scatter * Math.abs(deviation));
}
