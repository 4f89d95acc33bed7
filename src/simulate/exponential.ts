import { type Rng, uniform } from "./rng.js";

/** An exponentially distributed number with mean 1. */
export function exponential(rng: Rng): number {
  return -Math.log(1 - uniform(rng));
}
