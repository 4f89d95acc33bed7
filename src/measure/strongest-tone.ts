import { computeCriticalBandwidth, computeMaskingIndex } from "../dsp/critical-band.js";
import { powerToDb } from "../dsp/decibels.js";
import type { HarmonicLines } from "../dsp/harmonic-lines.js";
import { buildOctaveGrid } from "../dsp/octave-grid.js";
import { getBackground, type PowerSpectrum } from "../dsp/welch.js";

/** A steady tone in noise. */
export interface ToneInNoise {
  readonly hz: number;
  /** One standard deviation of `hz`. */
  readonly deviationHz: number;
  /** Mean square. */
  readonly power: number;
  /** One standard deviation of `power`. */
  readonly stdDev: number;
}

/** Lower down, noise that rises towards 0 Hz looks like a line. */
const fromHz = 40;
/** The converter's filter cuts above this share of half the sample rate. */
const upTo = 0.98;
/** Bins on either side of a line in a Hann window. */
const reach = 2;
/** Ratio of a line to the density beside it. */
const narrow = 8;
/** Relative frequency range of a wandering whistle, on either side. */
const wander = 0.002;

/**
 * The strongest steady tone that is not a line of the mains and that is not masked by the noise
 * around it: louder than its critical band's noise by more than the masking index.
 *
 * @param spectrum of noise, mains lines taken out
 * @param lines of the mains; their residue does not count as a tone
 *
 * @returns undefined if no tone is that loud
 * @example
 * const { spectrum, lines } = createReturnContext(audio).quiet();
 *
 * // The recording holds nothing but noise in its silence.
 * findStrongestTone(spectrum, lines); // undefined
 */
export function findStrongestTone(
  spectrum: PowerSpectrum,
  lines: HarmonicLines | undefined,
): ToneInNoise | undefined {
  const { density, stepHz } = spectrum;
  const background = getBackground(spectrum);
  const last = Math.floor(upTo * (density.length - 1)) - reach;
  let strongest: ToneInNoise | undefined;
  for (let k = Math.ceil(fromHz / stepHz); k <= last; k++) {
    const here = density[k];
    if (here < density[k - 1] || here < density[k + 1]) continue;
    if (here < narrow * background(k)) continue;
    const own = reach + Math.ceil(wander * k);
    const [below, above] = besides(density, k, own);
    if (here < narrow * Math.max(below, above)) continue;
    const tone = measureTone(spectrum, k, own, (below + above) / 2);
    if (strongest !== undefined && tone.power <= strongest.power) continue;
    if (tone.power <= hiddenPower(spectrum, background, tone.hz)) continue;
    if (lines && isOfMains(tone, stepHz, lines)) continue;
    strongest = tone;
  }
  return strongest;
}

/**
 * Mean square of the loudest tone that the noise may mask.
 *
 * @param spectrum of noise, mains lines removed
 * @example
 * const { spectrum } = createReturnContext(audio).quiet();
 * const hidden = computeHiddenTone(spectrum);
 *
 * // Less than all of the noise: a critical band holds a part of it.
 * hidden < computeBandPower(spectrum, 20, 20_000).power; // true
 */
export function computeHiddenTone(spectrum: PowerSpectrum): number {
  const background = getBackground(spectrum);
  const topHz = upTo * (spectrum.density.length - 1) * spectrum.stepHz;
  return buildOctaveGrid(3, fromHz, topHz).reduce(
    (most, hz) => Math.max(most, hiddenPower(spectrum, background, hz)),
    0,
  );
}

/** Bins on either side that give the noise under a line. */
const sideBins = 6;

/** Density of the noise on either side of a line. */
function besides(density: Float64Array, k: number, own: number): readonly [number, number] {
  let below = 0;
  let above = 0;
  for (let n = own + 1; n <= own + sideBins; n++) {
    below += density[Math.max(1, k - n)];
    above += density[Math.min(density.length - 1, k + n)];
  }
  return [below / sideBins, above / sideBins];
}

/**
 * Neighbouring Hann bins are correlated: 1 + 2·(4/9 + 1/36), the sum of their squared correlations.
 */
const hannNeighbours = 1.944;

function measureTone(
  { density, stepHz, segments }: PowerSpectrum,
  k: number,
  own: number,
  floor: number,
): ToneInNoise {
  let sum = 0;
  let moment = 0;
  for (let n = k - own; n <= k + own; n++) {
    const clear = density[n] - floor;
    sum += clear;
    moment += clear * (n - k);
  }
  const power = sum * stepHz;
  // A steady line beats with the noise under it, which is itself known only from a few bins.
  const noise = floor * stepHz;
  const bins = 2 * own + 1;
  const ratio = noise / power;
  // A sixth of the line is in each neighbour of its bin; further out there is only noise.
  const spread = (2 / 3) * ratio + ((own * (own + 1) * bins) / 3) * ratio ** 2;
  const squares = 2 * power * noise + noise * noise * (bins + bins ** 2 / (2 * sideBins));
  return {
    hz: (k + moment / sum) * stepHz,
    deviationHz: stepHz * Math.sqrt((spread * hannNeighbours) / segments),
    power,
    stdDev: Math.sqrt((squares * hannNeighbours) / segments),
  };
}

function hiddenPower(
  { density, stepHz }: PowerSpectrum,
  background: (k: number) => number,
  hz: number,
): number {
  const width = computeCriticalBandwidth(hz);
  const bin = (at: number) => Math.min(density.length - 1, Math.max(1, Math.round(at / stepHz)));
  const [first, last] = [bin(hz - width / 2), bin(hz + width / 2)];
  let sum = 0;
  for (let k = first; k <= last; k++) sum += background(k);
  const noise = (sum / (last - first + 1)) * width;
  return noise * 10 ** (computeMaskingIndex(hz) / 10);
}

/** Largest residue beside a line, from its wandering, relative to it. */
const leftBehindDb = -20;
/** Bins on either side of a line in which it can leave a residue. */
const leftBehindBins = 3;

/** Higher multiples are close to any frequency. */
const highestMultiple = 200;

/** Whether a tone is a mains line, or the residue of a wandering one. */
function isOfMains(tone: ToneInNoise, stepHz: number, lines: HarmonicLines): boolean {
  const { frequencyHz, deviationHz, amplitudes, higher } = lines;
  const order = Math.round(tone.hz / frequencyHz);
  const away = Math.abs(tone.hz - order * frequencyHz);
  const within = 3 * Math.hypot(tone.deviationHz, order * deviationHz) + 0.1 * stepHz;
  if (order <= highestMultiple && away <= within) return true;
  if (away > leftBehindBins * stepHz) return false;
  const amplitude =
    amplitudes[order - 1] ?? higher.find((line) => line.order === order)?.amplitude ?? 0;
  return powerToDb(tone.power) < powerToDb(amplitude ** 2 / 2) + leftBehindDb;
}
