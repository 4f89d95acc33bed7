import { factorOfDb } from "./levels.js";
import { gaussian, type Rng } from "./rng.js";

/**
 * A component as it comes out of the bag: normal about the nominal value, the printed tolerance at
 * 2.5 standard deviations and nothing beyond it, as sorted parts are.
 */
function within(rng: Rng, nominal: number, tolerance: number): number {
  let deviate = gaussian(rng);
  while (Math.abs(deviate) > 2.5) deviate = gaussian(rng);
  return nominal * (1 + (tolerance * (scatters.get(rng) ?? 1) * deviate) / 2.5);
}

/** Of generators whose parts have drifted apart. */
const scatters = new WeakMap<Rng, number>();

/** Lets parts drawn from a generator scatter so many times as widely; most 2.5, or values turn over. */
export function widenScatter(rng: Rng, times: number): Rng {
  scatters.set(rng, times);
  return rng;
}

/** Metal film, 1 %. */
export function resistor(rng: Rng, ohm: number): number {
  return within(rng, ohm, 0.01);
}

/** Film, 5 %. */
export function filmFarad(rng: Rng, farad: number): number {
  return within(rng, farad, 0.05);
}

/** Electrolytic, 20 %. */
export function electrolyticFarad(rng: Rng, farad: number): number {
  return within(rng, farad, 0.2);
}

/** What data sheets call typical: gain-bandwidth, curvature; 10 %. */
export function typical(rng: Rng, value: number): number {
  return within(rng, value, 0.1);
}

/** Noise of devices of one kind, ±0.3 dB. */
export function deviceNoise(rng: Rng, value: number): number {
  return value * factorOfDb(within(rng, 1, 0.3) - 1);
}

/** A knob set to its mark by hand and eye: decibels off, ±0.3 dB. */
export function offTheMarkDb(rng: Rng): number {
  return within(rng, 1, 0.3) - 1;
}
