import type { Rng } from "../rng.js";
import type { Leakage, Stage } from "../types.js";
import { offset } from "./gain.js";
import { flickerNoise } from "./noise.js";

/**
 * A leakage current is unsteady: so many volts of noise in each decade of frequency per volt that
 * it makes. Excess noise of resistors is told the same way, at a tenth or less; a guess at the order.
 */
const unrestPerDecade = 3e-5;

/** DC voltage that a leaking coupling capacitor leaves on its load, volts. */
export function leakedV({ ohm, biasV }: Leakage, loadOhm: number): number {
  return (biasV * loadOhm) / (loadOhm + ohm);
}

/**
 * Adds what leaks through the coupling capacitor to the voltage on its load: a DC voltage and noise
 * of the 1/f kind. What it takes from the capacitor's corner is below hearing: the leak and the
 * capacitor meet at a few hertz at the most.
 */
export function leakage(
  values: Leakage,
  loadOhm: number,
  rng: Rng,
  sampleRate: number,
  blockLength: number,
): Stage[] {
  const directV = leakedV(values, loadOhm);
  if (directV === 0) return [];
  // A density of k/√f holds k²·ln 10 in every decade.
  const atOneHz = (unrestPerDecade * Math.abs(directV)) / Math.sqrt(Math.LN10);
  const noise = flickerNoise(atOneHz, 1, rng, sampleRate, blockLength);
  return [offset(directV), noise];
}
