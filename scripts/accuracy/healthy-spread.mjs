// What healthy siblings scatter by, from the facets that the ranking has: their standard deviation is
// half the practical floor, so 95 of 100 lie within the floor. A reading that is not ranked has the
// change that is of no concern in its place.
import { findCurveKind } from "../../dist/measure/curve-kinds.js";
import { findReadingKind } from "../../dist/measure/reading-kinds.js";
import { responseLeastDb } from "../../dist/rank/responses.js";

/**
 * @param id of a reading, or of a curve and " curve"; what else follows the first word is how it was tried
 * @returns in the reading's unit, a share of itself for a frequency; undefined where none is known
 */
export function healthySpread(id) {
  const [name] = id.split(" ");
  if (id.endsWith(" curve") || name === "response") {
    if (name === "response") return responseLeastDb;
    const kind = findCurveKind(name);
    return kind?.rise?.leastDb ?? kind?.change?.leastDb;
  }
  const kind = findReadingKind(name);
  if (kind === undefined) return undefined;
  if (kind.least > 0) return kind.least;
  const { leastChange } = kind;
  return typeof leastChange === "object" ? leastChange.share : leastChange;
}
