import { voltsOfDbu } from "./levels.js";
import { audioInterface } from "./nominal.js";
import { addGaussian, createRng } from "./rng.js";

/**
 * What an interface records while nothing plays: its own noise.
 *
 * @param name names the noise; the same name gives the same samples
 * @returns samples, full scale ±1
 */
export function pause(lengthS: number, sampleRate: number, name: string): Float64Array {
  const out = new Float64Array(Math.round(lengthS * sampleRate));
  const fullScaleV = Math.SQRT2 * voltsOfDbu(audioInterface.fullScaleDbu);
  const sigma = (audioInterface.inputNoiseV * Math.sqrt(sampleRate / 2)) / fullScaleV;
  addGaussian(createRng(name), sigma, out);
  return out;
}

/**
 * Joins renders into one long capture, as made by a person who patches in between.
 *
 * @param renders samples, full scale ±1
 * @param pausesS seconds before each render and after the last: one more than there are renders
 * @throws RangeError when the pauses do not fit the renders
 */
export function assembleCapture(
  renders: readonly Float64Array[],
  pausesS: readonly number[],
  sampleRate: number,
  seed: number,
): Float64Array {
  if (pausesS.length !== renders.length + 1) {
    throw new RangeError(`${renders.length} renders need ${renders.length + 1} pauses.`);
  }
  const parts = pausesS.flatMap((lengthS, k) => {
    const gap = pause(lengthS, sampleRate, `${seed}/pause/${k}`);
    return k < renders.length ? [gap, renders[k]] : [gap];
  });
  const out = new Float64Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}
