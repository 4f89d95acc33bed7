import type { SharedAspect } from "./types.js";

/** Properties of an aspect for the search for faulty shared parts, as plain data. */
export interface AspectFacets {
  /**
   * What it adds to the signal: a `floor`, an absolute level that hides everything below it, or
   * `harmonics`, relative to the tone. How much comes out depends on the gain of an input. Absent
   * for changes of the signal itself, which are the same on every input.
   */
  readonly adds?: "floor" | "harmonics";
  /**
   * Set if a part after the point where inputs join adds the same power to every input of a strip.
   */
  readonly isEqualOnInputs?: true;
  /** Set if kinds of strips differ in it: least difference, in floors of a row. */
  readonly floorsOfMake?: number;
  /**
   * Set if strips worked on, or with parts of one batch, may have it in common anywhere on the
   * desk.
   */
  readonly isOfWork?: true;
  /**
   * Smallest change since an earlier round that matters, in the unit of a row; a row's own value
   * takes precedence. Absent if rounds are not compared by it.
   */
  readonly leastChange?: number;
  /**
   * Relative scatter of a shared part's effect from path to path: contacts and the rejection of
   * stages differ, a filter after them does not.
   */
  readonly scatter: number;
}

/** One row per aspect; values are common practice, no source. */
export const aspectFacets: Readonly<Record<SharedAspect, AspectFacets>> = {
  dead: { scatter: 0 },
  polarity: { scatter: 0, leastChange: 1 },
  level: { scatter: 0.1, leastChange: 2, floorsOfMake: 0.7 / 1.2, isOfWork: true },
  bass: { scatter: 0.03, leastChange: 1, floorsOfMake: 1 },
  treble: { scatter: 0.05, leastChange: 1, floorsOfMake: 1 },
  noise: {
    adds: "floor",
    isEqualOnInputs: true,
    scatter: 0.05,
    leastChange: 4,
    floorsOfMake: 2 / 3,
    isOfWork: true,
  },
  "hum-odd": { adds: "floor", isEqualOnInputs: true, scatter: 0.1, leastChange: 8 },
  "hum-even": { adds: "floor", isEqualOnInputs: true, scatter: 0.1, leastChange: 8 },
  distortion: {
    adds: "harmonics",
    isEqualOnInputs: true,
    scatter: 0.1,
    leastChange: 8,
    floorsOfMake: 4 / 6,
    isOfWork: true,
  },
  clipping: {
    adds: "harmonics",
    scatter: 0.1,
    leastChange: 8,
    floorsOfMake: 4 / 6,
    isOfWork: true,
  },
};

/**
 * Whether an aspect changes with a level setting: the level itself, and each floor.
 *
 * @example
 * isMovedByLevel("hum-odd"); // true
 * isMovedByLevel("distortion"); // false
 */
export function isMovedByLevel(aspect: SharedAspect): boolean {
  return aspect === "level" || aspectFacets[aspect].adds === "floor";
}
