import { parallel } from "../levels.js";
import type { Rng } from "../rng.js";
import type { Contact, Stage } from "../types.js";
import { createGainStage } from "./gain.js";
import { type Wandering, wander } from "./wander.js";

/** A dirty contact is moved by warmth and vibration; a guess at the order. */
export const dirtMoves: Wandering = { movesPerS: 4, settleS: 0.01 };

/** Connector, switch contact and their stray path, into the load of the strip. */
export function contact(values: Contact, rng: Rng, sampleRate: number): Stage {
  const { contactOhm, strayOhm, loadOhm, filmV, flutter } = values;
  const through = loadOhm / (loadOhm + parallel(contactOhm, strayOhm));
  if (filmV === 0 && flutter === 0) return createGainStage(through);
  const next = wander(dirtMoves, rng, sampleRate);
  return (block) => {
    for (let i = 0; i < block.length; i++) {
      const v = block[i] * through * (1 - flutter * next());
      block[i] = v - heldBack(v, filmV);
    }
  };
}

/** What a film of dirt, thin and half conducting, holds back of a voltage. */
export function heldBack(v: number, filmV: number): number {
  return filmV === 0 ? 0 : (filmV * v) / (Math.abs(v) + filmV);
}
