import { parallel } from "../levels.js";
import { type Rng, uniform } from "../rng.js";
import type { Contact, Stage } from "../types.js";
import { gain } from "./gain.js";

/** A dirty contact is moved by warmth and vibration: so often a second, and so fast, seconds. */
const movesPerS = 4;
const settleS = 0.01;

/** Connector, switch contact and their stray path, into the load of the strip. */
export function contact(values: Contact, rng: Rng, sampleRate: number): Stage {
  const { contactOhm, strayOhm, loadOhm, filmV, flutter } = values;
  const through = loadOhm / (loadOhm + parallel(contactOhm, strayOhm));
  if (filmV === 0 && flutter === 0) return gain(through);
  const chance = movesPerS / sampleRate;
  const slew = 1 / (settleS * sampleRate);
  let goal = 0;
  let loss = 0;
  return (block) => {
    for (let i = 0; i < block.length; i++) {
      if (uniform(rng) < chance) goal = flutter * uniform(rng);
      loss += slew * (goal - loss);
      const v = block[i] * through * (1 - loss);
      block[i] = v - (filmV * v) / (Math.abs(v) + filmV);
    }
  };
}
