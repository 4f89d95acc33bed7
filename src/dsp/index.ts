/**
 * Numbers in, numbers out: transforms, spectra, tone fits, sweeps, weightings, robust statistics.
 * Everything here is free of audio files and desks.
 */
export { type Biquad, computeButterworthHighPass, createBiquadRunner } from "./biquad.js";
export { voltsToDbu, zeroDbuVolts } from "./dbu.js";
export { amplitudeToDb, dbToAmplitude, dbToPower, powerToDb } from "./decibels.js";
export {
  type Complex,
  computeSpectrum,
  createSweepReference,
  deconvolve,
  gateResponse,
} from "./deconvolution.js";
export { computeNextPowerOfTwo, createFftPlan, type FftPlan } from "./fft.js";
export { buildOctaveGrid } from "./octave-grid.js";
export { createQuasiPeakMeter, type QuasiPeakMeter } from "./quasi-peak.js";
export { createMersenneTwister, type RandomSource } from "./random.js";
export { median, qn } from "./robust.js";
export { fitTone, fitToneAt, type ToneFit } from "./sine-fit.js";
export { leastSquares, theilSen } from "./straight-line.js";
export { getStudent95 } from "./student.js";
export { computeThermalNoiseV } from "./thermal-noise.js";
export { compute468Weighting, computeAWeighting } from "./weighting.js";
export { computeBandPower, type PowerSpectrum, welch } from "./welch.js";
export { computeKaiserBeta, hann, kaiser } from "./windows.js";
