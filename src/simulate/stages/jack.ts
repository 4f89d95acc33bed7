import type { Rng } from "../rng.js";
import type { Stage } from "../types.js";
import { dirtMoves, heldBack } from "./contact.js";
import type { LegGains } from "./legs.js";
import { wander } from "./wander.js";

/** The input at the best and at the worst that a dirty contact in its hot leg makes of it. */
export interface DirtyJack {
  readonly clean: LegGains;
  readonly worn: LegGains;
  readonly filmV: number;
}

/** What the cable gathers alike on both legs and between them, in units of `hum`. */
export interface Gathered {
  readonly commonV: number;
  readonly differentialV: number;
  /** Adds the mains as it runs, its fundamental 1 V peak. */
  readonly hum: Stage;
}

/**
 * The legs into the receiver by way of a dirty contact: level and rejection of hum wander together
 * between the clean and the worn figures, and a film holds back part of the hot leg's half.
 */
export function dirtyJack(
  { clean, worn, filmV }: DirtyJack,
  { commonV, differentialV, hum }: Gathered,
  rng: Rng,
  sampleRate: number,
  blockLength: number,
): Stage {
  const next = wander(dirtMoves, rng, sampleRate);
  const mains = new Float64Array(blockLength);
  return (block) => {
    const wave = mains.subarray(0, block.length).fill(0);
    hum(wave);
    for (let i = 0; i < block.length; i++) {
      const part = next();
      const differential = clean.differential + part * (worn.differential - clean.differential);
      const common = clean.common + part * (worn.common - clean.common);
      const v = block[i] + differentialV * wave[i];
      block[i] = differential * (v - heldBack(v, filmV) / 2) + common * commonV * wave[i];
    }
  };
}
