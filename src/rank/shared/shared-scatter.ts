import { aspectFacets } from "./aspect-facets.js";
import type { SharedAspect } from "./types.js";

/** Largest scatter of a shared effect (common practice, no source). */
const mostSharedScatter = 2;

/**
 * Prior scatter of a shared part's effect from path to path.
 *
 * @param deviation its effect, in the unit of the reading
 * @returns standard deviation in that unit
 * @example
 * computeSharedScatter("distortion", 16); // 1.6
 */
export function computeSharedScatter(aspect: SharedAspect, deviation: number): number {
  return Math.min(mostSharedScatter, aspectFacets[aspect].scatter * Math.abs(deviation));
}
