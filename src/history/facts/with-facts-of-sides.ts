import type { RoundFacts } from "./types.js";

/**
 * Facts in which each side of a stereo bus is a separate path, as in a round with sides: for
 * code that follows readings. Facts of a mono round are unchanged.
 */
export function withFactsOfSides(facts: RoundFacts): RoundFacts {
  const { sides, ...rest } = facts;
  if (sides === undefined) return facts;
  const byName = new Map([...facts.paths, ...sides].map((path) => [path.path, path]));
  return { ...rest, paths: [...byName.values()] };
}
