import { makeSamples } from "../helpers/samples.js";
/** A sine of one peak volt or one full scale, `lengthS` long. */
export function tone(frequencyHz: number, lengthS: number, sampleRate: number): Float64Array {
  return makeSamples(Math.round(lengthS * sampleRate), (n) =>
    Math.sin((2 * Math.PI * ((frequencyHz * n) % sampleRate)) / sampleRate),
  );
}

/**
 * Peak amplitude of one frequency, by correlation over the last second of the samples; exact for
 * frequencies of whole hertz at whole sample rates.
 */
export function amplitudeAt(samples: Float64Array, frequencyHz: number, sampleRate: number) {
  const [re, im] = phasorAt(samples, frequencyHz, sampleRate);
  return Math.hypot(re, im);
}

/** Correlation with cosine and sine over the last second. */
export function phasorAt(
  samples: Float64Array,
  frequencyHz: number,
  sampleRate: number,
): [number, number] {
  let re = 0;
  let im = 0;
  for (let n = samples.length - sampleRate; n < samples.length; n++) {
    const angle = (2 * Math.PI * ((frequencyHz * n) % sampleRate)) / sampleRate;
    re += samples[n] * Math.cos(angle);
    im += samples[n] * Math.sin(angle);
  }
  return [(2 * re) / sampleRate, (2 * im) / sampleRate];
}

export const decibel = (ratio: number): number => 20 * Math.log10(ratio);

/** Root mean square of the samples. */
export function rms(samples: Float64Array): number {
  return Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);
}
