import type { Candidate } from "./list-candidates.js";

/**
 * Whether a set is an unnamed run of neighbours that contains another such set.
 *
 * @param strips in the desk's physical order
 * @example
 * const bank = (...strips) => ({
 *   part: { kind: "bank", strips },
 *   members: new Set(strips.map((strip) => `${strip}/mic`)),
 * });
 * const desk = ["1", "2", "3", "4", "5"];
 * isStretchAround(bank("1", "2", "3", "4"), bank("1", "2", "4"), desk); // true
 * isStretchAround(bank("1", "2", "4", "5"), bank("1", "2", "4"), desk); // false
 */
export function isStretchAround(
  { part, members }: Pick<Candidate, "part" | "members">,
  within: Pick<Candidate, "part" | "members">,
  strips: readonly string[],
): boolean {
  if (part.kind !== "bank" || part.name !== undefined || within.part.kind !== "bank") return false;
  if (within.part.name !== undefined || members.size <= within.members.size) return false;
  const places = (part.strips ?? []).map((strip) => strips.indexOf(strip));
  const isStretch = Math.max(...places) - Math.min(...places) === places.length - 1;
  return isStretch && [...within.members].every((path) => members.has(path));
}
