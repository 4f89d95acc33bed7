import { type Rng, uniform } from "../rng.js";

/** How a poor contact moves. */
export interface Wandering {
  /** How often it is moved, by warmth or vibration. */
  readonly movesPerS: number;
  /** How fast it follows. */
  readonly settleS: number;
}

/**
 * A figure that starts at 0 and goes to a new place between 0 and 1 now and then.
 *
 * @returns the next sample's figure at every call
 */
export function wander(
  { movesPerS, settleS }: Wandering,
  rng: Rng,
  sampleRate: number,
): () => number {
  const chance = movesPerS / sampleRate;
  const slew = 1 / (settleS * sampleRate);
  let goal = 0;
  let at = 0;
  return () => {
    if (uniform(rng) < chance) goal = uniform(rng);
    at += slew * (goal - at);
    return at;
  };
}
