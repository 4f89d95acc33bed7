import type { RoundFacts } from "./types.js";

/**
 * Facts in which each side of a stereo bus is a path of its own, as in a round with sides: for
 * whatever follows readings. Those of a mono round are left as they are.
 */
export function withFactsOfSides(facts: RoundFacts): RoundFacts {
  const { sides, ...rest } = facts;
  if (sides === undefined) return facts;
  const byName = new Map([...facts.paths, ...sides].map((path) => [path.path, path]));
  return { ...rest, paths: [...byName.values()] };
}
