// White noise with a share of 1/f noise, whose density is known at every frequency: one white
// source straight and through four one-pole low-passes, two octaves apart.

import { integrateOverFrequency } from "./integrate.mjs";
import { gaussian } from "./random.mjs";

const polesHz = [4, 16, 64, 256];

/**
 * @param rmsDbfs what the white part has over the whole band, dBFS
 * @param share how strong the low-passes are against it; 0 for white noise
 */
export function noiseSource({ rmsDbfs, share }, sampleRate, next) {
  const sigma = Math.SQRT1_2 * 10 ** (rmsDbfs / 20);
  const poles = polesHz.map((hz) => Math.exp((-2 * Math.PI * hz) / sampleRate));
  const [p0, p1, p2, p3] = poles;
  const [g0, g1, g2, g3] = poles.map((p, k) => (share * (1 - p)) / 2 ** k);
  const normal = gaussian(next);
  let a = 0;
  let b = 0;
  let c = 0;
  let d = 0;
  const sample = () => {
    const white = normal();
    if (share === 0) return sigma * white;
    a = p0 * a + white;
    b = p1 * b + white;
    c = p2 * c + white;
    d = p3 * d + white;
    return sigma * (white + g0 * a + g1 * b + g2 * c + g3 * d);
  };
  // The slowest pole forgets its start.
  if (share !== 0) for (let n = 0; n < 0.3 * sampleRate; n++) sample();
  return sample;
}

/** Density at a frequency, power per hertz. */
export function noiseDensity({ rmsDbfs, share }, sampleRate, hz) {
  const turn = (2 * Math.PI * hz) / sampleRate;
  let re = 1;
  let im = 0;
  polesHz.forEach((poleHz, k) => {
    const pole = Math.exp((-2 * Math.PI * poleHz) / sampleRate);
    const gain = (share * (1 - pole)) / 2 ** k;
    // gain/(1 − pole·e^(−jω))
    const dr = 1 - pole * Math.cos(turn);
    const di = pole * Math.sin(turn);
    const scale = gain / (dr * dr + di * di);
    re += dr * scale;
    im -= di * scale;
  });
  const white = (0.5 * 10 ** (rmsDbfs / 10)) / (sampleRate / 2);
  return white * (re * re + im * im);
}

/** Power between two frequencies, each weighted. */
export function noisePower(noise, sampleRate, fromHz, toHz, weight = () => 1) {
  return integrateOverFrequency(
    (hz) => weight(hz) * noiseDensity(noise, sampleRate, hz),
    fromHz,
    toHz,
  );
}
