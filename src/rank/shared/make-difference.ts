import { aspectFacets } from "./aspect-facets.js";
import { isSameMechanism } from "./rows.js";
import type { Score } from "./score-candidate.js";
import type { SharedAspect } from "./types.js";

/** A set of at least this share of all paths may be another make of strip. */
const leastShare = 0.25;
/** In practical floors; a larger difference is a fault of many, not another make. */
const mostFloors = 4;
/** Whether makes differ in an aspect; another make differs in at least two. */
const isOfMake = (aspect: SharedAspect) => aspectFacets[aspect].floorsOfMake !== undefined;

/** What is asked of a score. */
type Difference = Pick<Score, "candidate" | "moved" | "aspects">;

/**
 * Whether two kinds of strips explain a difference as well as a fault does: it is small, in several
 * aspects at once, and not in aspects such as hum that do not depend on the make. If one mechanism
 * explains it, it is a fault of the worse strips unless they are the majority.
 *
 * @example
 * const members = new Set(["1/mic", "2/mic", "3/mic"]);
 * const moved = [{ row: { aspect: "bass", least: 1 }, deviation: 1.5 }];
 * const score = (part) => ({ candidate: { part, members }, moved, aspects: ["bass", "treble"] });
 * isMakeDifference(score({ kind: "bank" }), 8); // true
 * isMakeDifference(score({ kind: "ribbon", name: "A" }), 8); // false
 * // One that is large enough for a fault is not one of another make.
 * const large = { row: { aspect: "treble", least: 1 }, deviation: 9 };
 * isMakeDifference({ ...score({ kind: "bank" }), moved: [...moved, large] }, 8); // false
 */
export function isMakeDifference(
  { candidate, moved, aspects }: Difference,
  paths: number,
): boolean {
  if (candidate.part.name !== undefined || candidate.part.kind !== "bank") return false;
  if (candidate.members.size < leastShare * paths) return false;
  if (!aspects.every(isOfMake)) return false;
  const isOne = aspects.every((aspect) => isSameMechanism(aspect, aspects[0]));
  if (isOne && 2 * candidate.members.size <= paths) return false;
  return isSmall({ moved });
}

/** A set of at least this share of all paths may as well be one of two kinds of strips. */
const mayBeMake = 0.4;

/**
 * Whether a difference may also come from another make: to be inspected, not repaired.
 *
 * @example
 * const moved = [{ row: { aspect: "bass", least: 1 }, deviation: 1.5 }];
 * const members = new Set(["1/mic", "2/mic", "3/mic", "4/mic"]);
 * const score = { candidate: { part: { kind: "bank" }, members }, moved, aspects: ["bass"] };
 * mayBeMakeDifference(score, 8); // true
 * // Of so many paths it is too few for another kind of strip.
 * mayBeMakeDifference(score, 40); // false
 */
export function mayBeMakeDifference(score: Difference, paths: number): boolean {
  const { candidate, aspects } = score;
  return (
    candidate.part.name === undefined &&
    candidate.part.kind === "bank" &&
    candidate.members.size >= mayBeMake * paths &&
    aspects.every(isOfMake) &&
    isSmall(score)
  );
}

function isSmall({ moved }: Pick<Score, "moved">): boolean {
  return moved.every(
    ({ row, deviation }) =>
      Math.abs(deviation) <= mostFloors * row.least * (aspectFacets[row.aspect].floorsOfMake ?? 1),
  );
}
