import { borrowBuffer } from "./buffer-pool.js";
import { computeNextPowerOfTwo, createFftPlan } from "./fft.js";
import { hann } from "./windows.js";

/** A one-sided power spectral density. */
export interface PowerSpectrum {
  /** Power per hertz at bins 0 … size/2. */
  readonly density: Float64Array;
  /** Hertz per bin. */
  readonly stepHz: number;
  /** How many half-overlapping segments were averaged. */
  readonly segments: number;
}

/**
 * Averaged periodogram of half-overlapping Hann segments.
 *
 * Source: P. D. Welch, "The use of fast Fourier transform for the estimation of power spectra",
 * IEEE Trans. Audio Electroacoust. 15(2), 1967. Agrees with `scipy.signal.welch(x, fs, "hann",
 * nperseg, detrend=False)` when the segment length is a power of two.
 *
 * @param samples the noise
 * @param sampleRate samples per second
 * @param segmentS wanted segment length, seconds; made a power of two no longer than the samples
 * @throws RangeError for fewer than 64 samples
 * @example
 * const random = createMersenneTwister(1);
 * const noise = Float64Array.from({ length: 48000 }, () => random.uniform() - 0.5);
 * const { density } = welch(noise, 48000, 0.1);
 * density.length > 1000; // true
 */
export function welch(samples: Float64Array, sampleRate: number, segmentS: number): PowerSpectrum {
  if (samples.length < 64) throw new RangeError("too few samples for a spectrum");
  let size = computeNextPowerOfTwo(segmentS * sampleRate);
  while (size > samples.length) size /= 2;
  const plan = createFftPlan(size);
  const { window, windowPower, windowed, alone, spectrum } = workshopOf(size);
  const density = borrowBuffer(size / 2 + 1).fill(0);
  const hop = size / 2;
  const segments = Math.floor((samples.length - size) / hop) + 1;
  // Two segments share a transform as real and imaginary part: |X|² + |Y|² = (|Z(k)|² + |Z(−k)|²)/2.
  for (let segment = 0; segment + 1 < segments; segment += 2) {
    loadPair(samples, segment * hop, window, windowed);
    plan.forward(windowed, spectrum);
    addPair(spectrum, density);
  }
  // An odd one out goes alone, for half the price.
  if (segments % 2 === 1) {
    const at = (segments - 1) * hop;
    for (let n = 0; n < size; n++) alone[n] = window[n] * samples[at + n];
    plan.forwardReal(alone, spectrum);
    for (let k = 0, a = 0; k <= hop; k++, a += 2) {
      density[k] += spectrum[a] * spectrum[a] + spectrum[a + 1] * spectrum[a + 1];
    }
  }
  const scale = 1 / (segments * sampleRate * windowPower);
  for (let k = 0; k <= hop; k++) density[k] *= k === 0 || k === hop ? scale : 2 * scale;
  return { density, stepHz: sampleRate / size, segments };
}

/** A segment as the real part, the half-overlapping one behind it as the imaginary part. */
function loadPair(
  samples: Float64Array,
  at: number,
  window: Float64Array,
  windowed: Float64Array,
): void {
  const next = at + window.length / 2;
  for (let n = 0, i = 0; n < window.length; n++, i += 2) {
    windowed[i] = window[n] * samples[at + n];
    windowed[i + 1] = window[n] * samples[next + n];
  }
}

/** Adds the squares of both spectra of a pair. */
function addPair(spectrum: Float64Array, density: Float64Array): void {
  const end = spectrum.length;
  density[0] += spectrum[0] * spectrum[0] + spectrum[1] * spectrum[1];
  for (let k = 1, a = 2, b = end - 2; k < density.length; k++, a += 2, b -= 2) {
    const here = spectrum[a] * spectrum[a] + spectrum[a + 1] * spectrum[a + 1];
    const there = spectrum[b] * spectrum[b] + spectrum[b + 1] * spectrum[b + 1];
    density[k] += (here + there) / 2;
  }
}

/** The window of a size and room to work in. */
interface Workshop {
  readonly window: Float64Array;
  /** Σ w². */
  readonly windowPower: number;
  /** Two segments, interleaved. */
  readonly windowed: Float64Array;
  /** One segment, in the same memory. */
  readonly alone: Float64Array;
  readonly spectrum: Float64Array;
}

const workshops = new Map<number, Workshop>();

/** Kept for each size: a return asks for the same few again and again. */
function workshopOf(size: number): Workshop {
  const kept = workshops.get(size);
  if (kept) return kept;
  const window = hann(size);
  const windowed = new Float64Array(2 * size);
  const workshop = {
    window,
    windowPower: window.reduce((sum, w) => sum + w * w, 0),
    windowed,
    alone: windowed.subarray(0, size),
    spectrum: new Float64Array(2 * size),
  };
  workshops.set(size, workshop);
  return workshop;
}

/** Power in a band of a spectrum, with the standard uncertainty of the estimate. */
export interface BandPower {
  readonly power: number;
  /** One standard deviation of `power`. */
  readonly stdDev: number;
}

/** Squared correlation of neighbouring Hann bins: (2/3)² for the next, (1/6)² for the second. */
const hannNext = 4 / 9;
const hannSecond = 1 / 36;
const hannNeighbours = 1 + 2 * (hannNext + hannSecond);
/** Squared correlation of half-overlapping Hann segments of white noise. */
const hannOverlap = 1 / 36;

/**
 * Weighted power in a band. A bin cut by an edge counts by its share.
 *
 * The deviation follows from the number of independent averages (Welch 1967) and the
 * correlation of neighbouring bins; bins that stand far above their neighbourhood are steady
 * lines, which only beat with the noise under them.
 *
 * @param spectrum one-sided density
 * @param fromHz lower edge
 * @param toHz upper edge
 * @param weight power weight at the frequency of a bin, 1 when left out
 * @example
 * const sine = Float64Array.from({ length: 48000 }, (_, n) => Math.sin((2 * Math.PI * n) / 48));
 * const { power } = computeBandPower(welch(sine, 48000, 0.5), 500, 2000);
 * powerToDb(power).toFixed(1); // "-3.0"
 */
export function computeBandPower(
  spectrum: PowerSpectrum,
  fromHz: number,
  toHz: number,
  weight?: (hz: number) => number,
): BandPower {
  const { density, stepHz, segments } = spectrum;
  const averages = segments / (1 + 2 * (1 - 1 / segments) * hannOverlap);
  const medians = localMedians(density);
  let power = 0;
  let squares = 0;
  let beats = 0;
  // noise of the two bins before
  let last1 = 0;
  let last2 = 0;
  const first = Math.max(0, Math.round(fromHz / stepHz));
  const last = Math.min(density.length - 1, Math.round(toHz / stepHz));
  for (let k = first; k <= last; k++) {
    const low = Math.max(fromHz, (k - 0.5) * stepHz);
    const high = Math.min(toHz, (k + 0.5) * stepHz);
    if (high <= low) continue;
    const scale = weight === undefined ? high - low : weight(k * stepHz) * (high - low);
    const median = medians[Math.floor(k / medianBlock)];
    const part = density[k] * scale;
    const under = median * scale;
    const line = density[k] >= lineRatio * median;
    const noise = line ? under : part;
    power += part;
    squares += noise * (noise + 2 * (hannNext * last1 + hannSecond * last2));
    // A line is steady, but beats with the noise under it: var = 2·line·noise
    if (line) beats += 2 * part * under;
    last2 = last1;
    last1 = noise;
  }
  return { power, stdDev: Math.sqrt((squares + beats * hannNeighbours) / averages) };
}

/** Times the local median above which a bin is a line: white noise gets there once in 10⁵ bins. */
const lineRatio = 20;

/** Bins that share a median. */
const medianBlock = 32;

const keptMedians = new WeakMap<Float64Array, Float64Array>();

/** Medians of the blocks of a density; kept with it, as many ask for them. */
function localMedians(density: Float64Array): Float64Array {
  const kept = keptMedians.get(density);
  if (kept) return kept;
  const medians = new Float64Array(Math.ceil(density.length / medianBlock));
  const sorted = new Float64Array(medianBlock);
  for (let b = 0; b < medians.length; b++) {
    const until = Math.min(density.length, (b + 1) * medianBlock);
    const part = sorted.subarray(0, until - b * medianBlock);
    part.set(density.subarray(b * medianBlock, until));
    part.sort();
    medians[b] = part[part.length >> 1];
  }
  keptMedians.set(density, medians);
  return medians;
}

/**
 * Density beneath steady lines: the median of the bins around a bin, on a coarse grid of blocks.
 *
 * @returns power per hertz at a bin
 * @example
 * const hum = Float64Array.from({ length: 48000 }, (_, n) => Math.sin((2 * Math.PI * n) / 480));
 * getBackground(welch(hum, 48000, 0.5))(50) < 1e-6; // true
 */
export function getBackground({ density }: PowerSpectrum): (k: number) => number {
  const medians = localMedians(density);
  return (k) => medians[Math.floor(k / medianBlock)];
}

/** Half the width of a Hann line, bins: its main lobe and what a line between bins spills. */
const lineHalfBins = 2;

/**
 * Power of a steady line, the noise beneath it taken off.
 *
 * The noise is the median of the bins a little farther out on both sides (a line next door does
 * not move it), brought to the mean of an exponential distribution by 1/ln 2 for a single
 * average (less for more; the correction is that of a chi-square median, 1 − 1/(3·averages)).
 *
 * @param spectrum one-sided density
 * @param hz frequency of the line, within a bin
 * @example
 * const random = createMersenneTwister(1);
 * const sine = (n) => Math.sin((2 * Math.PI * n) / 48) + 0.001 * random.uniform();
 * const spectrum = welch(Float64Array.from({ length: 48000 }, (_, n) => sine(n)), 48000, 0.5);
 * computeLinePower(spectrum, 1000).power.toFixed(3); // "0.500"
 */
export function computeLinePower(spectrum: PowerSpectrum, hz: number): BandPower {
  const { density, stepHz, segments } = spectrum;
  const middle = Math.round(hz / stepHz);
  const around: number[] = [];
  let sum = 0;
  for (let k = middle - 3 * lineHalfBins - 1; k <= middle + 3 * lineHalfBins + 1; k++) {
    if (k < 1 || k >= density.length - 1) continue;
    if (Math.abs(k - middle) <= lineHalfBins) sum += density[k];
    else around.push(density[k]);
  }
  if (around.length === 0) return { power: 0, stdDev: 0 };
  around.sort((a, b) => a - b);
  const noise = around[around.length >> 1] / (1 - 1 / (3 * segments));
  const bins = 2 * lineHalfBins + 1;
  const stdDev = noise * stepHz * Math.sqrt((bins * hannNeighbours) / segments);
  return { power: (sum - bins * noise) * stepHz, stdDev };
}

/**
 * Density around a frequency, averaged over `widthHz`, power per hertz.
 *
 * @example
 * const spectrum = { density: new Float64Array(1001).fill(2), stepHz: 1, segments: 8 };
 * computeDensityAround(spectrum, 500, 100); // 2
 */
export function computeDensityAround(spectrum: PowerSpectrum, hz: number, widthHz: number): number {
  const { density, stepHz } = spectrum;
  const first = Math.max(1, Math.round((hz - widthHz / 2) / stepHz));
  const last = Math.max(
    first,
    Math.min(density.length - 2, Math.round((hz + widthHz / 2) / stepHz)),
  );
  let sum = 0;
  for (let k = first; k <= last; k++) sum += density[Math.min(k, density.length - 1)];
  return sum / (last - first + 1);
}

/** Bins on either side that estimate the noise beneath a line: outside the notch of its removal. */
const underFrom = 2;
const underTo = 7;

/**
 * Density of the noise beneath a line that has been taken out: the median of the bins on both
 * sides, so that another line next door does not move it, brought to the mean of its chi-square
 * distribution by 1 − 1/(3·averages).
 *
 * @returns power per hertz, above 0
 * @example
 * const spectrum = { density: new Float64Array(1001).fill(2), stepHz: 1, segments: 1e6 };
 * estimateNoiseDensity(spectrum, 500).toFixed(3); // "2.000"
 */
export function estimateNoiseDensity(
  { density, stepHz, segments }: PowerSpectrum,
  hz: number,
): number {
  const middle = Math.round(hz / stepHz);
  const around: number[] = [];
  for (let d = underFrom; d <= underTo; d++) {
    for (const k of [middle - d, middle + d]) {
      if (k >= 1 && k < density.length - 1) around.push(density[k]);
    }
  }
  around.sort((a, b) => a - b);
  const middling = (around[(around.length - 1) >> 1] + around[around.length >> 1]) / 2;
  return Math.max(middling / (1 - 1 / (3 * segments)), Number.MIN_VALUE);
}
