import { voltsOfDbu } from "./levels.js";
import { createRng, gaussian } from "./rng.js";
import { resampleByPpm } from "./stages/clock.js";
import type { Occasion } from "./strip.js";
import type { Stage, VirtualDesk } from "./types.js";

/** Samples that go through all stages at a time, few enough to stay in the processor's cache. */
const blockLength = 2048;

/**
 * The conditions while something on a desk is recorded.
 *
 * @param what names it and thus its noise: a path or a reference
 */
export function buildOccasion(desk: VirtualDesk, what: string, sampleRate: number): Occasion {
  const name = `${desk.seed}/${what}/noise/${desk.occasion}${desk.take > 0 ? `/${desk.take}` : ""}`;
  return {
    name,
    sampleRate,
    // The mains frequency wanders by hundredths of a hertz within an hour.
    mainsHz: desk.mainsHz + 0.02 * gaussian(createRng(`${name}/grid`)),
    blockLength,
    sourceNoiseV: desk.interface.outputNoiseV,
  };
}

/**
 * Plays a signal from the interface through stages back into the interface.
 *
 * @param signal full scale ±1
 * @returns capture, full scale ±1, clipped there; as long as the signal, by the capture's clock
 */
export function playThrough(
  desk: VirtualDesk,
  stages: readonly Stage[],
  signal: Float64Array,
): Float64Array {
  const { fullScaleDbu, inputFullScaleDbu = fullScaleDbu } = desk.interface;
  const fullScaleV = Math.SQRT2 * voltsOfDbu(fullScaleDbu);
  const inputV = Math.SQRT2 * voltsOfDbu(inputFullScaleDbu);
  const played = resampleByPpm(signal, desk.clockPpm);
  const out = new Float64Array(played.length);
  for (let start = 0; start < out.length; start += blockLength) {
    const end = Math.min(out.length, start + blockLength);
    const block = out.subarray(start, end);
    for (let i = 0; i < block.length; i++) block[i] = fullScaleV * played[start + i];
    for (const stage of stages) stage(block);
    for (let i = 0; i < block.length; i++) {
      block[i] = Math.max(-1, Math.min(1, block[i] / inputV));
    }
  }
  return out;
}

/** Runs stages on silence until they settle. */
export function settle(stages: readonly Stage[], samples: number): void {
  const block = new Float64Array(blockLength);
  for (let at = 0; at < samples; at += blockLength) {
    block.fill(0);
    for (const stage of stages) stage(block);
  }
}
