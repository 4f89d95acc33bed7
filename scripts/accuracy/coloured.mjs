// Noise that is white at the top and 1/f below a corner, which may lie anywhere up to 10 kHz: every
// bin of its spectrum is drawn, so its density is known at every frequency.
import { createFftPlan } from "../../dist/dsp/fft.js";
import { integrateOverFrequency } from "./integrate.mjs";
import { gaussian } from "./random.mjs";

/** Below this the density rises no more, hertz. */
const flatBelowHz = 0.2;

/** Density at a frequency, power per hertz, one-sided. */
export function colouredDensity({ rmsDbfs, cornerHz }, sampleRate, hz) {
  const white = (0.5 * 10 ** (rmsDbfs / 10)) / (sampleRate / 2);
  return white * (1 + cornerHz / Math.max(hz, flatBelowHz));
}

/** Power between two frequencies in closed form. */
export function colouredPower({ rmsDbfs, cornerHz }, sampleRate, fromHz, toHz) {
  const white = (0.5 * 10 ** (rmsDbfs / 10)) / (sampleRate / 2);
  return white * (toHz - fromHz + cornerHz * Math.log(toHz / fromHz));
}

/** The same, weighted. */
export function colouredWeightedPower(noise, sampleRate, fromHz, toHz, weight) {
  return integrateOverFrequency(
    (hz) => weight(hz) * colouredDensity(noise, sampleRate, hz),
    fromHz,
    toHz,
  );
}

/**
 * @param noise `rmsDbfs` of its white part over the whole band, and `cornerHz`, where the 1/f part is
 *   as strong; 0 for white noise
 * @returns that many samples
 */
export function colouredNoise(noise, sampleRate, length, next) {
  let size = 4;
  while (size < length) size *= 2;
  const normal = gaussian(next);
  const spectrum = new Float64Array(size + 2);
  for (let k = 1; k <= size / 2; k++) {
    const density = colouredDensity(noise, sampleRate, (k * sampleRate) / size);
    // x = (1/N)·Σ X·e^…, and the power of bin k and its mirror is 2·|X|²/N² = S·rate/N
    const sigma = Math.sqrt((density * sampleRate * size) / 4);
    spectrum[2 * k] = sigma * normal() * (k === size / 2 ? Math.SQRT2 : 1);
    spectrum[2 * k + 1] = k === size / 2 ? 0 : sigma * normal();
  }
  const samples = new Float64Array(size);
  createFftPlan(size).inverseReal(spectrum, samples);
  return samples.subarray(0, length);
}
