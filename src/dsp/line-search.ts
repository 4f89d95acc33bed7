import { createOwnBuffer } from "./buffer-pool.js";
import { computeNextPowerOfTwo, createFftPlan } from "./fft.js";
import { hann } from "./windows.js";

/** Powers at the multiples of frequencies around a nominal one, in units of their mean in noise alone. */
export interface CombSpectrum {
  /** |Z|² of bins that lie `stepHz` apart, through a Hann window over all samples. */
  readonly power: Float64Array;
  readonly stepHz: number;
  /** Seconds of samples. */
  readonly seconds: number;
  /** Mean of |Z|² in noise of a density of 1 per hertz. */
  readonly perDensity: number;
  /** |Z|² of a line of amplitude 1 on a bin. */
  readonly perLine: number;
}

const windows = new Map<number, Float64Array>();
const windowedRoom = createOwnBuffer();
const spectrumRoom = createOwnBuffer();
const powerRoom = createOwnBuffer();
const powersRoom = createOwnBuffer();
const scoresRoom = createOwnBuffer();

/** Of a kind of return all lengths lie within a few samples. */
const mostWindows = 8;

function windowOf(length: number): Float64Array {
  const kept = windows.get(length);
  if (kept) return kept;
  if (windows.size >= mostWindows) windows.clear();
  const made = hann(length);
  windows.set(length, made);
  return made;
}

/**
 * The spectrum of samples as a comb is looked for in it: through a window, so that a strong line is
 * seen where it lies and nowhere else.
 *
 * @param data the samples; the spectrum lasts until the next is asked for
 * @param rateHz samples per second
 * @example
 * const tone = Float64Array.from({ length: 8000 }, (_, n) => Math.sin((2 * Math.PI * 50 * n) / 4000));
 * const { power, stepHz } = computeCombSpectrum(tone, 4000);
 * (power.indexOf(power.reduce((a, b) => Math.max(a, b))) * stepHz).toFixed(0); // "50"
 */
export function computeCombSpectrum(data: Float64Array, rateHz: number): CombSpectrum {
  const { length } = data;
  const size = computeNextPowerOfTwo(oversampling * length);
  const window = windowOf(length);
  const windowed = windowedRoom(size);
  let sum = 0;
  let squares = 0;
  for (let n = 0; n < length; n++) {
    windowed[n] = window[n] * data[n];
    sum += window[n];
    squares += window[n] * window[n];
  }
  windowed.fill(0, length);
  const spectrum = spectrumRoom(2 * size);
  createFftPlan(size).forwardReal(windowed, spectrum);
  const power = powerRoom(size / 2 + 1);
  for (let k = 0, a = 0; k < power.length; k++, a += 2) {
    power[k] = spectrum[a] * spectrum[a] + spectrum[a + 1] * spectrum[a + 1];
  }
  return {
    power,
    stepHz: rateHz / size,
    seconds: length / rateHz,
    perDensity: (squares * rateHz) / 2,
    perLine: (sum * sum) / 4,
  };
}

/** Bins to a resolution of 1/T: between two of them a line loses half a decibel at most. */
const oversampling = 1.4;

/** A frequency whose multiples hold lines. */
export interface CombCandidate {
  readonly hz: number;
  /** Evidence of lines, as the logarithm of a likelihood ratio. */
  readonly score: number;
  /** Evidence at frequencies that lie `gridHz` apart from `fromHz` on; lasts until the next search. */
  readonly scores: Float64Array;
  readonly fromHz: number;
  readonly gridHz: number;
}

/**
 * The frequency at whose multiples lines are most likely.
 *
 * The evidence of a line is the logarithm of the likelihood ratio of noise with a line of unknown
 * amplitude and phase to noise alone, |Z|²/noise (S. M. Kay, "Fundamentals of Statistical Signal
 * Processing: Detection Theory", 7.6), less what an amplitude and a place that nobody knew cost; a
 * multiple without a line says nothing. Beyond `plainEvidence` it grows with the logarithm only: many
 * multiples with a line each say more of a comb than one enormous line, which may be a whistle.
 *
 * @param densities noise at each multiple, power per hertz
 * @example
 * const tone = Float64Array.from({ length: 8000 }, (_, n) => Math.sin((2 * Math.PI * 50 * n) / 4000));
 * findComb(computeCombSpectrum(tone, 4000), Float64Array.of(1e-6), 50.2, 0.5).hz.toFixed(1); // "50.0"
 */
export function findComb(
  { power, stepHz, seconds, perDensity }: CombSpectrum,
  densities: Float64Array,
  nominalHz: number,
  withinHz: number,
): CombCandidate {
  const count = densities.length;
  const most = gridShare / (count * seconds);
  const steps = Math.max(1, Math.ceil(withinHz / most));
  const scales = powersRoom(count);
  for (let k = 0; k < count; k++) scales[k] = 1 / (densities[k] * perDensity);
  const scores = scoresRoom(2 * steps + 1);
  let bestHz = nominalHz;
  let best = Number.NEGATIVE_INFINITY;
  for (let i = -steps; i <= steps; i++) {
    const hz = nominalHz + (withinHz * i) / steps;
    let score = 0;
    for (let k = 0; k < count; k++) {
      const bin = Math.round(((k + 1) * hz) / stepHz);
      const beyond = power[bin] * scales[k] - unknownCost;
      if (beyond > plainEvidence) score += plainEvidence * (1 + Math.log(beyond / plainEvidence));
      else if (beyond > 0) score += beyond;
    }
    scores[i + steps] = score;
    if (score > best) {
      best = score;
      bestHz = hz;
    }
  }
  const gridHz = withinHz / steps;
  return { hz: bestHz, score: best, scores, fromHz: nominalHz - withinHz, gridHz };
}

/**
 * How likely it is that the comb lies elsewhere: the share of the likelihood of all frequencies that
 * those farther away have.
 *
 * @param hz where it was found
 * @param reachHz how far from there counts as there
 * @example
 * const scores = Float64Array.of(0, Math.log(3), 0);
 * computeElsewhere({ hz: 50, score: Math.log(3), scores, fromHz: 49, gridHz: 1 }, 50, 0.5); // 0.4
 */
export function computeElsewhere(
  { score, scores, fromHz, gridHz }: CombCandidate,
  hz: number,
  reachHz: number,
): number {
  let all = 0;
  let elsewhere = 0;
  for (let i = 0; i < scores.length; i++) {
    const weight = Math.exp(scores[i] - score);
    all += weight;
    if (Math.abs(fromHz + i * gridHz - hz) > reachHz) elsewhere += weight;
  }
  return elsewhere / all;
}

/** Candidates lie this share of a resolution apart at the highest multiple. */
const gridShare = 0.2;
/** What an amplitude and a place that nobody knew cost, nepers of likelihood. */
const unknownCost = 5;
/** Evidence of one line that counts in full. */
export const plainEvidence = 40;

/** Orders whose powers are summed. */
export type Orders = (order: number) => boolean;

/**
 * The largest sum of squared amplitudes that lines of some orders may have and yet not be seen: for
 * each frequency that the comb may have, what its multiples show beyond the noise, and the scatter
 * of that.
 *
 * @param densities noise at each multiple, power per hertz
 * @returns upper bound (95 %) of Σ a²; 0 if no line of these orders is looked at
 * @example
 * const silence = computeCombSpectrum(new Float64Array(8000), 4000);
 * const densities = Float64Array.of(1e-6, 1e-6);
 * computeHiddenPower(silence, densities, 50, 0.5, (order) => order === 1) >= 0; // true
 */
export function computeHiddenPower(
  { power, stepHz, seconds, perDensity, perLine }: CombSpectrum,
  densities: Float64Array,
  nominalHz: number,
  withinHz: number,
  orders: Orders,
): number {
  const counted = Array.from(densities, (_, k) => k).filter((k) => orders(k + 1));
  if (counted.length === 0) return 0;
  // Mean of a² in noise alone, line by line, and its variance, which is its square.
  const noise = counted.map((k) => (densities[k] * perDensity) / perLine);
  const mean = noise.reduce((sum, v) => sum + v, 0);
  const variance = noise.reduce((sum, v) => sum + v * v, 0);
  const steps = Math.ceil((withinHz * densities.length * seconds) / boundGridShare);
  let most = 0;
  for (let i = -steps; i <= steps; i++) {
    const hz = nominalHz + (withinHz * i) / steps;
    most = Math.max(most, sumMultiples(power, counted, hz, stepHz) / perLine - mean);
  }
  most *= betweenBins;
  const largest = Math.max(...noise);
  let bound = most;
  // var(a²) = 2·A²·v + v² where noise alone has a mean a² of v
  for (let pass = 0; pass < 6; pass++) {
    bound = most + 1.65 * Math.sqrt(2 * bound * largest + variance);
  }
  return bound;
}

/** Power at some of the multiples of a frequency, which are counted from 0. */
function sumMultiples(
  power: Float64Array,
  multiples: readonly number[],
  hz: number,
  stepHz: number,
): number {
  let sum = 0;
  for (let j = 0; j < multiples.length; j++) {
    sum += power[Math.round(((multiples[j] + 1) * hz) / stepHz)];
  }
  return sum;
}

const boundGridShare = 0.4;
/** What a line between two bins and two candidates loses at most, as a power. */
const betweenBins = 1.15;
