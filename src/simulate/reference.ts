import { masterStages, outputStages } from "./master.js";
import { buildOccasion, playThrough } from "./playback.js";
import { createRng } from "./rng.js";
import { buildMasterInTurn } from "./shared-parts.js";
import { createGainStage } from "./stages/gain.js";
import { whiteNoise } from "./stages/noise.js";
import type { VirtualDesk } from "./types.js";

/** Where a reference path enters: the return of the mix insert, or a spare input of the bus. */
export type VirtualReferencePoint = "insert-return" | "bus-input";

/** Resistor of a spare input of the bus. */
const spareOhm = 10_000;

/**
 * Plays a signal past all strips: by a pad that makes up for the gain of the output stage, into the
 * return of the mix's insert or a spare input of the bus, and back into the interface. What it
 * shows is not in a strip.
 *
 * @param signal full scale ±1; its nominal level comes back unchanged
 * @param sampleRate samples per second, 40 kHz or more
 * @returns capture as of {@link simulatePath}
 *
 * @example
 * const first = simulateReference(desk, "insert-return", signal, 48000);
 */
export function simulateReference(
  desk: VirtualDesk,
  point: VirtualReferencePoint,
  signal: Float64Array,
  sampleRate: number,
): Float64Array {
  const { earthV } = desk.sharedParts;
  const occasion = buildOccasion(desk, `${point} ${desk.turn}`, sampleRate);
  const pad = 1 / desk.master.outputGain;
  const source = [
    whiteNoise(occasion.sourceNoiseV, createRng(`${occasion.name}/white`), sampleRate),
    createGainStage(pad),
  ];
  const master = buildMasterInTurn(desk);
  const rest =
    point === "insert-return"
      ? outputStages(master, desk.interface, occasion, earthV)
      : masterStages(master, spareOhm, desk.interface, occasion, earthV);
  return playThrough(desk, [...source, ...rest], signal);
}
