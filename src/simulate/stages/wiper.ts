import type { Rng } from "../rng.js";
import type { Stage, Wiper } from "../types.js";
import { type Wandering, wander } from "./wander.js";

/** A wiper on a worn track jumps at once; how often is a guess at the order. */
const jumps: Wandering = { movesPerS: 6, settleS: 0.0003 };

/**
 * A wiper on a worn track: its resistance jumps, and with it the gain; the direct current through
 * it makes a step of every jump, which is the crackle.
 */
export function wiper({ depth, crackleV }: Wiper, rng: Rng, sampleRate: number): Stage[] {
  if (depth === 0 && crackleV === 0) return [];
  const next = wander(jumps, rng, sampleRate);
  return [
    (block) => {
      for (let i = 0; i < block.length; i++) {
        const worn = next();
        block[i] = block[i] * (1 - depth * worn) + crackleV * worn;
      }
    },
  ];
}
