import type { SharedAspect } from "./types.js";

/** What the search for faulty shared parts knows of an aspect, as plain data. */
export interface AspectFacets {
  /**
   * What it adds to the signal: a `floor`, which is a level of its own and hides what lies beneath it,
   * or `harmonics`, which are given against the tone. How much of it comes out differs by what an
   * input amplifies. Absent for what is done to the signal itself, alike on every input.
   */
  readonly adds?: "floor" | "harmonics";
  /** Set where a part after the inputs join adds the same power to every input of a strip. */
  readonly isEqualOnInputs?: true;
  /**
   * Set where makes of strips differ in it: the floors by which they are told apart, in those of a
   * row.
   */
  readonly floorsOfMake?: number;
  /** Set for what strips worked on, or filled with parts of one batch, may have in common anywhere. */
  readonly isOfWork?: true;
  /**
   * A change since an earlier round that is of no concern, in the unit of a row; a row's own goes
   * before it. Absent where rounds are not compared by it.
   */
  readonly leastChange?: number;
  /**
   * By this share of itself what a shared part does scatters from path to path: contacts and the
   * rejection of stages differ, a filter after them does not.
   */
  readonly scatter: number;
}

/** A row for each aspect; figures are common practice, without a source. */
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
 * Whether an aspect moves with a level that is touched: the level itself, and each floor.
 *
 * @example
 * isMovedByLevel("hum-odd"); // true
 * isMovedByLevel("distortion"); // false
 */
export function isMovedByLevel(aspect: SharedAspect): boolean {
  return aspect === "level" || aspectFacets[aspect].adds === "floor";
}
