import type { Stage } from "../types.js";

/** Multiplies. */
export function createGainStage(factor: number): Stage {
  return (block) => {
    for (let i = 0; i < block.length; i++) block[i] *= factor;
  };
}

/** Adds a DC voltage. */
export function offset(volts: number): Stage {
  return (block) => {
    for (let i = 0; i < block.length; i++) block[i] += volts;
  };
}
