import { createOwnBuffer } from "./buffer-pool.js";
import { createDecimator, type Decimator } from "./decimator.js";
import { fitHarmonics, type Harmonics } from "./sine-fit.js";
import { estimateNoiseDensity, type PowerSpectrum, welch } from "./welch.js";

/** Steady lines at whole multiples of one frequency, as fitted under noise. */
export interface HarmonicLines {
  /** Fundamental, hertz. */
  readonly frequencyHz: number;
  /** One standard deviation of it, hertz; the Cramér–Rao bound in the noise that was found. */
  readonly deviationHz: number;
  /** Peak amplitude of line 1, 2, …: index 0 is the fundamental. */
  readonly amplitudes: Float64Array;
  /** Variance of each amplitude. */
  readonly variances: Float64Array;
  /** Power per hertz of the noise beneath each line. */
  readonly densities: Float64Array;
  /** Seconds that the fit stands on. */
  readonly seconds: number;
  /** The fitted series; m counts samples of the input from `middle`. */
  readonly series: Harmonics;
  /** Index of the input sample on which the series is centred, fractional. */
  readonly middle: number;
}

/** The fit works on samples of about this rate: room for 20 lines of 60 Hz. */
const workingHz = 4000;
const lateFactor = 4;
const passHz = 1250;
/** What folds onto the lines is held down by this, decibels. */
const stopDb = 80;
const spectrumS = 0.2;

/**
 * Lines whose power, in units of its mean in noise alone, exceeds this help to find the frequency;
 * the more places a line was looked for, the more it takes.
 */
const leastPower = 8;
/** Sum of the powers above which the lines are certain enough to fit their frequency. */
const leastTotal = 20;
/** The frequency is sought with the lowest lines first: at the 20th the range spans many ambiguities. */
const searchLines = 6;

/**
 * Finds the frequency of a harmonic series in noise and fits all its lines together.
 *
 * Close to the maximum-likelihood estimate for lines in coloured noise: the sum over the lines of
 * |Z|²/noise is searched for its maximum, lowest lines first, then the joint least-squares fit is
 * refined by Gauss–Newton steps on the frequency, each line weighted by the noise beneath it.
 * Source: B. G. Quinn, P. J. Thomson, "Estimating the frequency of a periodic function",
 * Biometrika 78(1), 1991. Variances are the Cramér–Rao bounds: S/T for an amplitude,
 * 3/(2π²T²·Σk²Pₖ) for the frequency with Pₖ = A²T/(2S) (S. M. Kay, "Fundamentals of Statistical
 * Signal Processing: Estimation Theory", ex. 3.14, summed over the lines).
 *
 * @param samples noise with lines
 * @param sampleRate samples per second
 * @param nominalHz where the fundamental is expected
 * @param withinHz how far it may lie from there
 * @param count lines to fit; all below 1250 Hz
 * @returns undefined when no line stands out
 */
export function fitHarmonicLines(
  samples: Float64Array,
  sampleRate: number,
  nominalHz: number,
  withinHz: number,
  count: number,
): HarmonicLines | undefined {
  const thin = thinned(samples, sampleRate);
  const { data, rateHz } = thin;
  const seconds = data.length / rateHz;
  const blocks = demodulated(thin, nominalHz, count);
  const rough = welch(data, rateHz, spectrumS);
  const roughly = Float64Array.from({ length: count }, (_, k) =>
    within(rough, (k + 1) * nominalHz),
  );

  const first = search(blocks, roughly, searchLines, 0, withinHz * 1.1);
  if (!(first.total > leastTotal) || Math.abs(first.offsetHz) > withinHz) return undefined;
  const spreadHz = 3 / Math.sqrt(information(first.powers, first.least, seconds));
  const second = search(blocks, roughly, count, first.offsetHz, spreadHz);
  const { least } = second;
  let frequency = (nominalHz + second.offsetHz) / rateHz;
  // A line near the least may owe that to chance: it counts for little, so that it misleads little.
  const weights = roughly.map((s, k) => Math.max(0, 1 - least[k] / second.powers[k]) / s);

  const residual = residualRoom(data.length);
  const close = settled / (Math.sqrt(information(second.powers, least, seconds)) * rateHz);
  let model = fitHarmonics(data, frequency, count);
  for (let pass = 0; pass < mostPasses; pass++) {
    const step = frequencyStep(data, model, frequency, weights, residual);
    if (!(Math.abs(step) > close && Math.abs(step) * seconds * rateHz < 1)) break;
    frequency += step;
    model = fitHarmonics(data, frequency, count);
  }

  const spectrum = welch(residual, rateHz, spectrumS);
  const frequencyHz = frequency * rateHz;
  if (!isLine(rough, frequencyHz, strongest(model))) return undefined;
  const densities = new Float64Array(count);
  const variances = new Float64Array(count);
  const amplitudes = new Float64Array(count);
  const powers = new Float64Array(count);
  for (let k = 0; k < count; k++) {
    densities[k] = estimateNoiseDensity(spectrum, (k + 1) * frequencyHz);
    variances[k] = densities[k] / seconds;
    amplitudes[k] = Math.hypot(model.cosines[k], model.sines[k]);
    powers[k] = amplitudes[k] ** 2 / (2 * variances[k]);
  }
  return {
    frequencyHz,
    deviationHz: 1 / Math.sqrt(information(powers, least, seconds)),
    amplitudes,
    variances,
    densities,
    seconds,
    series: model,
    middle: thin.middle,
  };
}

interface Line {
  readonly order: number;
  readonly power: number;
}

function strongest({ cosines, sines }: Harmonics): Line {
  let best = { order: 1, power: 0 };
  cosines.forEach((c, k) => {
    const power = (c * c + sines[k] * sines[k]) / 2;
    if (power > best.power) best = { order: k + 1, power };
  });
  return best;
}

/**
 * Whether what was fitted is a line there, and not the skirt of a tone nearby: a fit without a
 * window hears such a tone from afar, the windowed spectrum does not. A line below its noise cannot
 * be separated that way, and no skirt would be seen there.
 */
function isLine(
  { density, stepHz }: PowerSpectrum,
  frequencyHz: number,
  { order, power }: Line,
): boolean {
  const bin = Math.round((order * frequencyHz) / stepHz);
  const seen = Math.max(density[bin - 1], density[bin], density[bin + 1]);
  return seen > leastSeen * (power / (hannBandwidth * stepHz));
}

/** Equivalent noise bandwidth of a Hann window, bins, and the share of a line that must be seen. */
const hannBandwidth = 1.5;
const leastSeen = 0.3;

const mostPasses = 6;
/** The frequency has settled when a step is this small against its standard deviation. */
const settled = 0.1;

/**
 * Takes fitted lines out of the samples that they were fitted to, or more of the same.
 *
 * The series is tabulated over one period and read off linearly: with these points the 20th line
 * is good to 3 parts in 10⁵, the lower ones to far less.
 *
 * @param samples changed in place
 */
export function subtractLines(
  samples: Float64Array,
  sampleRate: number,
  lines: HarmonicLines,
): void {
  const { cosines, sines } = lines.series;
  const period = periodRoom(periodPoints + 1).fill(0);
  for (let k = 0; k < cosines.length; k++) {
    const turn = (2 * Math.PI * (k + 1)) / periodPoints;
    const turnCos = Math.cos(turn);
    const turnSin = Math.sin(turn);
    let c = 1;
    let s = 0;
    for (let i = 0; i <= periodPoints; i++) {
      period[i] += cosines[k] * c + sines[k] * s;
      const turned = c * turnCos - s * turnSin;
      s = c * turnSin + s * turnCos;
      c = turned;
    }
  }
  const step = lines.frequencyHz / sampleRate;
  const start = -lines.middle * step;
  for (let n = 0; n < samples.length; n++) {
    const cycles = start + n * step;
    const at = (cycles - Math.floor(cycles)) * periodPoints;
    const i = Math.floor(at);
    samples[n] -= period[i] + (at - i) * (period[i + 1] - period[i]);
  }
}

const periodPoints = 8192;

const residualRoom = createOwnBuffer();
const periodRoom = createOwnBuffer();
const thinRooms = [createOwnBuffer(), createOwnBuffer()] as const;

/** Samples that go through a decimator at a time, so that it needs little room. */
const atOnce = 8192;

const decimators = new Map<string, Decimator>();

/** Kept for each kind: they begin from rest every time. */
function decimatorFor(factor: number, sampleRate: number): Decimator {
  const key = `${factor} ${sampleRate}`;
  const kept = decimators.get(key);
  if (kept) return kept;
  const made = createDecimator(factor, passHz, sampleRate, stopDb);
  decimators.set(key, made);
  return made;
}

interface Thinned {
  readonly data: Float64Array;
  readonly rateHz: number;
  /** Input sample on which the middle of `data` falls. */
  readonly middle: number;
}

function thinned(samples: Float64Array, sampleRate: number): Thinned {
  // In two steps: the first may be crude, and the second has few samples to work on.
  const early = Math.max(1, Math.round(sampleRate / (workingHz * lateFactor)));
  const first = thinner(samples, sampleRate, early, thinRooms[0]);
  const second = thinner(first.data, sampleRate / early, lateFactor, thinRooms[1]);
  const middle = first.start + early * (second.start + ((second.data.length - 1) / 2) * lateFactor);
  return { data: second.data, rateHz: sampleRate / (early * lateFactor), middle };
}

/** Every `factor`-th sample; `start` is the input sample on which the first one falls. */
function thinner(
  samples: Float64Array,
  sampleRate: number,
  factor: number,
  room: (length: number) => Float64Array,
) {
  const thin = decimatorFor(factor, sampleRate);
  const out = room(Math.ceil(samples.length / factor) + 1);
  let written = 0;
  for (let at = 0; at < samples.length; at += atOnce) {
    const part = samples.subarray(at, at + atOnce);
    written += thin.push(part, part.length, out.subarray(written));
  }
  thin.clear();
  // The first outputs still hear the zeros before the samples.
  const first = Math.ceil((-2 * thin.delay) / factor);
  return { data: out.subarray(first, written), start: first * factor + thin.delay };
}

/** The samples turned back by each line's nominal frequency and summed over short blocks. */
interface Blocks {
  readonly count: number;
  readonly blockS: number;
  readonly blockSamples: number;
  /** Line by line, block by block: re, im. */
  readonly sums: readonly Float64Array[];
  readonly rateHz: number;
}

function demodulated({ data, rateHz }: Thinned, nominalHz: number, lines: number): Blocks {
  const blockSamples = Math.round((2 * rateHz) / nominalHz);
  const count = Math.floor(data.length / blockSamples);
  const sums: Float64Array[] = [];
  for (let line = 1; line <= lines; line++) {
    const omega = (2 * Math.PI * line * nominalHz) / rateHz;
    const turnCos = Math.cos(omega);
    const turnSin = Math.sin(omega);
    const sum = new Float64Array(2 * count);
    for (let b = 0; b < count; b++) {
      let c = Math.cos(omega * b * blockSamples);
      let s = Math.sin(omega * b * blockSamples);
      let re = 0;
      let im = 0;
      for (let n = b * blockSamples; n < (b + 1) * blockSamples; n++) {
        re += data[n] * c;
        im -= data[n] * s;
        const turned = c * turnCos - s * turnSin;
        s = c * turnSin + s * turnCos;
        c = turned;
      }
      sum[2 * b] = re;
      sum[2 * b + 1] = im;
    }
    sums.push(sum);
  }
  return { count, blockS: blockSamples / rateHz, blockSamples, sums, rateHz };
}

interface Found {
  readonly offsetHz: number;
  /** Σ of the powers beyond `least`. */
  readonly total: number;
  /** What each line's power had to exceed. */
  readonly least: Float64Array;
  /** Power of each line in units of its mean in noise alone. */
  readonly powers: Float64Array;
}

function search(
  blocks: Blocks,
  densities: Float64Array,
  lines: number,
  aroundHz: number,
  withinHz: number,
): Found {
  const seconds = blocks.count * blocks.blockS;
  const most = 0.15 / (lines * seconds);
  const steps = Math.max(1, Math.ceil(withinHz / most));
  const powers = new Float64Array(lines);
  const least = new Float64Array(lines);
  for (let k = 0; k < lines; k++) {
    least[k] = leastPower + Math.log1p(2 * withinHz * (k + 1) * seconds);
  }
  let best = { offsetHz: aroundHz, total: Number.NEGATIVE_INFINITY };
  for (let i = -steps; i <= steps; i++) {
    const offsetHz = aroundHz + (withinHz * i) / steps;
    linePowers(blocks, densities, offsetHz, powers);
    let total = 0;
    for (let k = 0; k < lines; k++) total += Math.max(0, powers[k] - least[k]);
    if (total > best.total) best = { offsetHz, total };
  }
  linePowers(blocks, densities, best.offsetHz, powers);
  return { ...best, powers, least };
}

function linePowers(
  { count, blockS, blockSamples, sums, rateHz }: Blocks,
  densities: Float64Array,
  offsetHz: number,
  powers: Float64Array,
): void {
  for (let k = 0; k < powers.length; k++) {
    const turn = 2 * Math.PI * (k + 1) * offsetHz * blockS;
    const turnCos = Math.cos(turn);
    const turnSin = Math.sin(turn);
    const sum = sums[k];
    let c = 1;
    let s = 0;
    let re = 0;
    let im = 0;
    for (let b = 0; b < count; b++) {
      re += sum[2 * b] * c + sum[2 * b + 1] * s;
      im += sum[2 * b + 1] * c - sum[2 * b] * s;
      const turned = c * turnCos - s * turnSin;
      s = c * turnSin + s * turnCos;
      c = turned;
    }
    powers[k] = (re * re + im * im) / ((count * blockSamples * densities[k] * rateHz) / 2);
  }
}

/**
 * Fisher information on the fundamental's frequency, 1/Hz², of the lines that stand out, as far as
 * chance did not make them.
 */
function information(powers: Float64Array, least: Float64Array, seconds: number): number {
  let sum = 0;
  powers.forEach((p, k) => {
    sum += (k + 1) ** 2 * Math.max(0, p - least[k]);
  });
  return ((2 * Math.PI ** 2 * seconds ** 2) / 3) * sum;
}

/**
 * Gauss–Newton step on the frequency, cycles per sample, and what the model leaves.
 *
 * @param weights of each line in the step
 * @param residual filled
 */
function frequencyStep(
  data: Float64Array,
  { offset, cosines, sines }: Harmonics,
  frequency: number,
  weights: Float64Array,
  residual: Float64Array,
): number {
  const length = data.length;
  const middle = (length - 1) / 2;
  const omega = 2 * Math.PI * frequency;
  const turnCos = Math.cos(omega);
  const turnSin = Math.sin(omega);
  const lines = cosines.length;
  let c = 0;
  let s = 0;
  let gradient = 0;
  for (let n = 0; n < length; n++) {
    const m = n - middle;
    if ((n & 1023) === 0) {
      c = Math.cos(omega * m);
      s = Math.sin(omega * m);
    }
    let rest = data[n] - offset;
    let slope = 0;
    let ck = 1;
    let sk = 0;
    for (let k = 0; k < lines; k++) {
      const next = ck * c - sk * s;
      sk = ck * s + sk * c;
      ck = next;
      rest -= cosines[k] * ck + sines[k] * sk;
      slope += weights[k] * (k + 1) * (sines[k] * ck - cosines[k] * sk);
    }
    residual[n] = rest;
    gradient += rest * m * slope;
    const turned = c * turnCos - s * turnSin;
    s = c * turnSin + s * turnCos;
    c = turned;
  }
  let bend = 0;
  for (let k = 0; k < lines; k++) {
    bend += weights[k] * (k + 1) ** 2 * (cosines[k] ** 2 + sines[k] ** 2);
  }
  // Σm² over the length
  bend *= (length * (length * length - 1)) / 24;
  return bend > 0 ? gradient / bend / (2 * Math.PI) : 0;
}

/** Median density within some hertz of a line that may lie anywhere there. */
function within({ density, stepHz, segments }: PowerSpectrum, hz: number): number {
  const middle = Math.round(hz / stepHz);
  const part = density
    .slice(Math.max(1, middle - searchBins), Math.min(density.length - 1, middle + searchBins + 1))
    .sort();
  return Math.max(part[part.length >> 1] / (1 - 1 / (3 * segments)), Number.MIN_VALUE);
}

const searchBins = 8;
