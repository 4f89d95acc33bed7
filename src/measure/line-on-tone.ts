import type { HarmonicLines } from "../dsp/harmonic-lines.js";
import type { BandPower, PowerSpectrum } from "../dsp/welch.js";
import { isBesideLines } from "./line-noise.js";

/** Residual of a tone that coincided with a mains line. */
export interface WithoutLine {
  /** The spectrum with the residue around the tone replaced by the noise beside it. */
  readonly spectrum: PowerSpectrum;
  /** Power of the lines there, as seen in the silence. */
  readonly lines: BandPower;
}

/**
 * Cycles over the samples fitted; a line this close shares the tone's lobe, and the fit takes a
 * part of it.
 */
const sharedCycles = 4;
/** Bins on either side affected by a tone's residue or a line through a Hann window. */
const reachBins = 2.5;
/** Hertz on either side over which the noise is averaged. */
const besideHz = 150;

/**
 * Replaces the residue around a fitted tone that coincides with a mains line. The fit takes part of
 * the line, depending on the phases; so instead of the residue, the noise beside them and the line
 * as seen in the silence are used.
 *
 * @param rest spectrum of the residual
 * @param lines of the mains, as found in the silence
 * @param hz frequency of the tone
 * @param seconds length of the samples fitted
 * @returns undefined if no line is near enough
 * @example
 * const spectrum = (value) => ({ density: new Float64Array(1001).fill(value), stepHz: 1, segments: 10 });
 * const lines = {
 *   frequencyHz: 50,
 *   deviationHz: 0,
 *   amplitudes: Float64Array.of(0.01),
 *   variances: Float64Array.of(0),
 * };
 *
 * replaceAroundTone(spectrum(1e-9), undefined, 50, 1); // undefined
 * // The line's own power: a²/2.
 * replaceAroundTone(spectrum(1e-9), lines, 50, 1).lines.power.toFixed(6); // "0.000050"
 */
export function replaceAroundTone(
  rest: PowerSpectrum,
  lines: HarmonicLines | undefined,
  hz: number,
  seconds: number,
): WithoutLine | undefined {
  if (!lines) return undefined;
  const order = Math.round(hz / lines.frequencyHz);
  const line = lineOf(lines, order);
  const lineHz = order * lines.frequencyHz;
  if (!line || Math.abs(lineHz - hz) * seconds > sharedCycles) return undefined;
  const { density, stepHz } = rest;
  const isAround = (k: number) =>
    Math.min(Math.abs(k - hz / stepHz), Math.abs(k - lineHz / stepHz)) < reachBins;
  let sum = 0;
  let count = 0;
  const last = Math.min(density.length - 2, Math.round((hz + besideHz) / stepHz));
  for (let k = Math.max(1, Math.round((hz - besideHz) / stepHz)); k <= last; k++) {
    if (isAround(k) || !isBesideLines(k * stepHz, stepHz, lines)) continue;
    sum += density[k];
    count++;
  }
  if (count === 0) return undefined;
  const own = line.amplitude ** 2 / 2 - line.variance;
  return {
    spectrum: { ...rest, density: density.map((d, k) => (isAround(k) ? sum / count : d)) },
    lines: {
      power: Math.max(0, own),
      stdDev: Math.sqrt(2 * Math.max(0, own) * line.variance + line.variance ** 2),
    },
  };
}

function lineOf({ amplitudes, variances, higher }: HarmonicLines, order: number) {
  if (order < 1) return undefined;
  if (order > amplitudes.length) return higher.find((line) => line.order === order);
  return { amplitude: amplitudes[order - 1], variance: variances[order - 1] };
}
