import { addGaussian, type Rng } from "../rng.js";
import type { Stage } from "../types.js";

/** Adds white noise. @param densityV V/√Hz */
export function whiteNoise(densityV: number, rng: Rng, sampleRate: number): Stage {
  const sigma = densityV * Math.sqrt(sampleRate / 2);
  return (block) => addGaussian(rng, sigma, block);
}

/** Lowest pole of the 1/f shape; below it the noise is flat. */
const lowestHz = 1.5;
const poleRatio = 8;

/**
 * Adds noise whose power falls with 1/f: white noise through poles and zeros that alternate at
 * equal steps, so that the slope is half of a pole's (the classic approximation of a half-order
 * slope; ripple about 0.2 dB).
 *
 * @param densityV V/√Hz that it has at `atHz`
 */
export function flickerNoise(
  densityV: number,
  atHz: number,
  rng: Rng,
  sampleRate: number,
  blockLength: number,
): Stage {
  const poles: number[] = [];
  const zeros: number[] = [];
  for (let hz = lowestHz; hz < sampleRate / 6; hz *= poleRatio) {
    poles.push(Math.exp((-2 * Math.PI * hz) / sampleRate));
    zeros.push(Math.exp((-2 * Math.PI * hz * Math.sqrt(poleRatio)) / sampleRate));
  }
  // Level taken where the shape lies in the middle of its range, and carried to `atHz` by 1/f.
  const middleHz = 100;
  let shape = 1;
  for (let k = 0; k < poles.length; k++) {
    shape *= notchDistance(zeros[k], middleHz / sampleRate);
    shape /= notchDistance(poles[k], middleHz / sampleRate);
  }
  const sigma = ((densityV * Math.sqrt(atHz / middleHz)) / shape) * Math.sqrt(sampleRate / 2);
  const state = new Float64Array(poles.length);
  const white = new Float64Array(blockLength);
  return (block) => {
    const noise = white.subarray(0, block.length).fill(0);
    addGaussian(rng, sigma, noise);
    for (let k = 0; k < poles.length; k++) {
      const pole = poles[k];
      const difference = pole - zeros[k];
      let s = state[k];
      for (let i = 0; i < noise.length; i++) {
        const x = noise[i];
        noise[i] = x + difference * s;
        s = pole * s + x;
      }
      state[k] = s;
    }
    for (let i = 0; i < block.length; i++) block[i] += noise[i];
  };
}

/** |1 − r·exp(−2πjν)|. */
function notchDistance(r: number, cyclesPerSample: number): number {
  return Math.sqrt(1 + r * r - 2 * r * Math.cos(2 * Math.PI * cyclesPerSample));
}
