import { cases } from "./cases/index.mjs";
import { tally } from "./outcomes.mjs";
import { generator } from "./random.mjs";

/**
 * Some returns of one kind, each from a seed of its own.
 *
 * @param {{ kind: string, from: number, to: number, seed: number }} task
 */
export function runCoverageTask({ kind, from, to, seed }) {
  const outcomes = [];
  for (let n = from; n < to; n++) {
    outcomes.push(...cases[kind].run(generator(seed * 1_000_003 + n)));
  }
  return tally(outcomes);
}
