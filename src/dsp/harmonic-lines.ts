import { createOwnBuffer } from "./buffer-pool.js";
import { createDecimator, type Decimator } from "./decimator.js";
import {
  type CombSpectrum,
  computeCombSpectrum,
  computeElsewhere,
  computeHiddenPower,
  findComb,
  type Orders,
  plainEvidence,
} from "./line-search.js";
import { foldPhases, type PeriodicSeries, type SeriesClock, subtractSeries } from "./phase-fold.js";
import { median } from "./robust.js";
import { fitTone } from "./sine-fit.js";
import { estimateNoiseDensity, type PowerSpectrum, welch } from "./welch.js";

/** Steady lines at whole multiples of one frequency, fitted in noise. */
export interface HarmonicLines {
  /** Fundamental, hertz. */
  readonly frequencyHz: number;
  /** One standard deviation of it, hertz; the Cramér–Rao bound in the noise found. */
  readonly deviationHz: number;
  /** Peak amplitude of line 1, 2, …: index 0 is the fundamental. */
  readonly amplitudes: Float64Array;
  /** Variance of each amplitude. */
  readonly variances: Float64Array;
  /** Power per hertz of the noise beneath each line. */
  readonly densities: Float64Array;
  /** Duration of the samples fitted, seconds. */
  readonly seconds: number;
  /** The lines as removed; the phase is 0 at `middle`. */
  readonly series: PeriodicSeries;
  /** Index of a sample, fractional. */
  readonly middle: number;
  /** Lines of higher orders that stand out. */
  readonly higher: readonly HigherLine[];
}

/** A line above the orders that were asked for. */
export interface HigherLine {
  readonly order: number;
  /** Peak amplitude. */
  readonly amplitude: number;
  /** Variance of it. */
  readonly variance: number;
  /** Power per hertz of the noise beneath it. */
  readonly density: number;
}

/** Lines, or an upper bound for them if none stands out. */
export type LineSearch =
  | { readonly lines: HarmonicLines }
  | {
      readonly lines?: undefined;
      /** Upper bound (95 %) of the sum of squared amplitudes of lines of some orders. */
      hidden(orders: Orders): number;
    };

/** The fit works at about this sample rate, which has room for 40 lines of 60 Hz. */
const workingHz = 8000;
const lateFactor = 2;
const passHz = 2500;
/** Attenuation of what aliases onto the lines, decibels. */
const stopDb = 115;
const spectrumS = 0.2;

/**
 * Evidence from which lines stand out. Of 8000 stretches of noise, white and 1/f, of 1.1 s and
 * 2.9 s, none reached it.
 */
const leastScore = 15;
/** Power of a line, relative to its mean in noise, that is rare by chance. */
const leastPower = 8;
/** The same above the orders that are fitted, where there are hundreds of candidates. */
const leastHigherPower = 18;
/** A lone line must lie so near to a nominal multiple that chance would put it there this often. */
const mostChance = 0.1;
/** Likelihood that the comb lies elsewhere, more than this many deviations away. */
const mostElsewhere = 0.002;
const reachDeviations = 6;
/** How many whistles are excluded before the search is given up. */
const mostWhistles = 4;

/** Points per period, for refining the frequency and for removing the lines. */
const refinePoints = 16_384;
export const finalPoints = 16_384;

/**
 * Finds the frequency of a harmonic series in noise, fits all its lines together and removes them.
 *
 * The maximum-likelihood estimate for lines in coloured noise: a comb over all lines, with the
 * frequency as its one unknown, is moved through the spectrum (`findComb`), then amplitudes and
 * frequency are refined by Gauss–Newton steps, each line weighted by the noise beneath it.
 * Source: B. G. Quinn, P. J. Thomson, "Estimating the frequency of a periodic function",
 * Biometrika 78(1), 1991. Variances are the Cramér–Rao bounds: S/T for an amplitude,
 * 3/(2π²T²·Σk²Pₖ) for the frequency with Pₖ = A²T/(2S) (S. M. Kay, "Fundamentals of Statistical
 * Signal Processing: Estimation Theory", ex. 3.14, summed over the lines).
 *
 * Lines above `count` are removed too if they stand out. A lone line that may as well be a whistle is
 * left in.
 *
 * @param samples noise with lines; changed in place where lines are found
 * @param sampleRate samples per second
 * @param nominalHz where the fundamental is expected
 * @param withinHz how far it may lie from there
 * @param count lines to fit; all below 2500 Hz
 * @example
 * const random = createMersenneTwister(1);
 * const hum = (n) => 0.1 * Math.sin((2 * Math.PI * 50.02 * n) / 48000);
 * const noise = Float64Array.from({ length: 96000 }, (_, n) => hum(n) + 0.001 * random.uniform());
 * extractHarmonicLines(noise, 48000, 50, 0.5, 10).lines?.frequencyHz.toFixed(2); // "50.02"
 */
export function extractHarmonicLines(
  samples: Float64Array,
  sampleRate: number,
  nominalHz: number,
  withinHz: number,
  count: number,
): LineSearch {
  const thin = thinned(samples, sampleRate);
  const { data, rateHz } = thin;
  const rough = welch(data, rateHz, spectrumS);
  const roughly = Float64Array.from({ length: count }, (_, k) =>
    within(rough, (k + 1) * nominalHz),
  );
  const ground = { rateHz, roughly, nominalHz, withinHz };
  const first = searchComb(data, ground);
  const whistles: number[] = [];
  let found: CombSearch = first;
  let cleaned = data;
  for (let hz = whistleIn(first); hz !== undefined; hz = whistleIn(found)) {
    if (whistles.length === mostWhistles) break;
    const tone = fitTone(cleaned, hz / rateHz, 1);
    cleaned = tone.residual;
    whistles.push(tone.frequency * rateHz);
    found = searchComb(cleaned, ground);
  }
  // What was excluded are whistles if the rest is a comb that they do not belong to.
  const rest = found.fit;
  const areApart = rest && whistles.every((hz) => isNoneOf(hz, rest));
  const fit = areApart ? rest : first.fit;
  if (!fit) {
    const { heard } = first;
    return { hidden: (orders) => computeHiddenPower(heard, roughly, nominalHz, withinHz, orders) };
  }
  const middle = thin.firstSample + fit.middle * thin.factor;
  const beside = fit === rest ? whistles : [];
  return { lines: takeOutBeside(beside, samples, sampleRate, fit, middle) };
}

/** Where to look for a comb, and the noise beneath its lines. */
interface SearchGround {
  readonly rateHz: number;
  readonly roughly: Float64Array;
  readonly nominalHz: number;
  readonly withinHz: number;
}

/** A comb as it was looked for: without `fit` where none stands out or several might. */
interface CombSearch {
  readonly fit?: Fit;
  readonly heard: CombSpectrum;
}

/** The comb in the decimated samples. */
function searchComb(data: Float64Array, ground: SearchGround): CombSearch {
  const { rateHz, roughly, nominalHz, withinHz } = ground;
  const comb = computeCombSpectrum(data, rateHz);
  const { seconds } = comb;
  const heard = keepReach(comb, Math.max(passHz, (nominalHz + withinHz) * roughly.length));
  const searched = { ...heard, power: heard.power.slice() };
  for (let whistles = 0; whistles < mostWhistles; whistles++) {
    const found = findComb(searched, roughly, nominalHz, withinHz);
    if (!(found.score > leastScore)) break;
    let fit = refine(data, rateHz, found.hz, roughly, linesOutAfter);
    let fits = isComb(fit, comb, nominalHz, withinHz);
    if (!fits) {
      // The skirt of a line far above all others, a little off its place, passes for lines at the
      // multiples and leads the fit astray: with that line in place first, it is no more than it is.
      const alone = roughly.map((density, k) =>
        k + 1 === fit.strongest ? density : Number.POSITIVE_INFINITY,
      );
      const { frequencyHz } = refine(data, rateHz, found.hz, alone, 0);
      const again = refine(data, rateHz, frequencyHz, roughly, linesOutAfter);
      fits = isComb(again, comb, nominalHz, withinHz);
      if (fits) fit = again;
    }
    const doubtful = fits ? chanceIn(fit) : undefined;
    if (doubtful !== undefined) {
      const others = roughly.map((density, k) =>
        k === doubtful ? Number.POSITIVE_INFINITY : density,
      );
      const { frequencyHz } = refine(data, rateHz, fit.frequencyHz, others, linesOutAfter);
      const again = refine(data, rateHz, frequencyHz, roughly, linesOutAfter);
      if (isComb(again, comb, nominalHz, withinHz)) fit = again;
    }
    let whistle = fit.strongest * found.hz;
    if (fits) {
      // Weak lines may fit in several places; those cannot be told apart.
      const reachHz =
        reachDeviations * deviationSeen(fit, seconds) + found.gridHz + comb.stepHz / fit.strongest;
      if (computeElsewhere(found, fit.frequencyHz, reachHz) > mostElsewhere) break;
      if (!rulesAlone(fit, heard, ground)) return { fit, heard };
      // The ruling line need not be the strongest.
      const ruling = rulingOf(fit);
      whistle = (ruling + 1) * (fit.frequencyHz + fit.asideHz[ruling]);
    }
    const reach = Math.ceil(whistleWidth / seconds / comb.stepHz);
    const at = Math.round(whistle / comb.stepHz);
    searched.power.fill(0, Math.max(0, at - reach), at + reach + 1);
  }
  return { heard };
}

/** Nepers by which all other lines must be likelier elsewhere for a ruling line to be a whistle. */
const mostAgainst = 12;
/** Room for a line between two bins, as a power. */
const skirtRoom = 4;

/**
 * Whether the line that rules a comb's frequency stands against all others: without it they fit far
 * better elsewhere, by the logarithm of the likelihood ratio. Then it is a whistle whose multiple they
 * happen to be near.
 */
function rulesAlone(
  fit: Fit,
  heard: CombSpectrum,
  { roughly, nominalHz, withinHz }: SearchGround,
): boolean {
  const ruling = rulingOf(fit);
  const at = Math.round(((ruling + 1) * fit.frequencyHz) / heard.stepHz);
  const most = heard.power[at] / heard.perDensity;
  // Through a Hann window d cycles beside a line 1/(πd³) of it is left, at most.
  const others = roughly.map((density, k) => {
    if (k === ruling) return Number.POSITIVE_INFINITY;
    const cycles = Math.abs(k - ruling) * fit.frequencyHz * heard.seconds;
    return density + (skirtRoom * most) / (Math.PI * cycles ** 3) ** 2;
  });
  const elsewhere = findComb(heard, others, nominalHz, withinHz);
  if (!(computeAgainst(elsewhere, fit.frequencyHz) > mostAgainst)) return false;
  // One line elsewhere may be a whistle itself: what is left of the others has to say it too.
  const loudest = findLoudest(heard, others, elsewhere.hz);
  const rest = others.map((density, k) => (k === loudest ? Number.POSITIVE_INFINITY : density));
  return computeAgainst(findComb(heard, rest, nominalHz, withinHz), fit.frequencyHz) > mostAgainst;
}

/** By how much lines fit better where they fit best than at a frequency, nepers; 0 in noise. */
function computeAgainst(
  { score, scores, fromHz, gridHz }: ReturnType<typeof findComb>,
  hz: number,
): number {
  if (!(score > leastScore)) return 0;
  const here = Math.round((hz - fromHz) / gridHz);
  let best = Number.NEGATIVE_INFINITY;
  for (let i = Math.max(0, here - 1); i <= Math.min(scores.length - 1, here + 1); i++) {
    best = Math.max(best, scores[i]);
  }
  return score - best;
}

/** Index of the line furthest above its noise, in a comb at a frequency. */
function findLoudest({ power, stepHz }: CombSpectrum, densities: Float64Array, hz: number): number {
  let loudest = 0;
  let most = Number.NEGATIVE_INFINITY;
  densities.forEach((density, k) => {
    const ratio = power[Math.round(((k + 1) * hz) / stepHz)] / density;
    if (ratio > most) [loudest, most] = [k, ratio];
  });
  return loudest;
}

/** Index of the line that rules the frequency of a fit. */
function rulingOf({ powers }: Fit): number {
  let ruling = 0;
  powers.forEach((power, k) => {
    if ((k + 1) ** 2 * power > (ruling + 1) ** 2 * powers[ruling]) ruling = k;
  });
  return ruling;
}

/** Power over the median around it from which a tone's skirts reach the lines. */
const leastWhistle = 1e4;
/** Width of that neighbourhood to either side, hertz; below it nothing is looked for. */
const whistleAroundHz = 30;

/** A tone that is not a line of the comb and disturbs it; undefined if there is none. */
function whistleIn({ fit, heard }: CombSearch): number | undefined {
  const { power, stepHz, seconds } = heard;
  const reach = Math.round(whistleAroundHz / stepHz);
  let at = reach;
  for (let k = reach; k < power.length - 1; k++) if (power[k] > power[at]) at = k;
  const around = median(Array.from(power.subarray(at - reach, at + reach + 1)));
  const hz = at * stepHz;
  const standsOut = power[at] > leastWhistle * around && !(fit && !isApart(hz, fit, seconds));
  return standsOut ? hz : fit && ledAstrayBy(fit);
}

/** Deviations from the others' common frequency beyond which a ruling line is not one of them. */
const mostApart = 4.5;
/** How far a line's frequency may differ from the others' as the mains wander, hertz for each second. */
const wanderHzPerS = 0.002;

/**
 * The line that leads a fit astray: it rules the frequency, while the others together, as far as they
 * rise above the noise, point to another. A whistle near a multiple does that, however many lines there
 * are; lines of the mains wander together.
 *
 * @returns its frequency; undefined if all agree
 */
function ledAstrayBy(fit: Fit): number | undefined {
  const { frequencyHz, powers, asideHz, seconds } = fit;
  const ruling = rulingOf(fit);
  let known = 0;
  let sum = 0;
  powers.forEach((power, k) => {
    if (k === ruling || power < leastPower) return;
    const own = (k + 1) ** 2 * (power - leastPower);
    known += own;
    sum += own * (asideHz[k] - asideHz[ruling]);
  });
  if (!(known > 0)) return undefined;
  const allowed = mostApart * deviationOf(known, seconds) + wanderHzPerS * seconds;
  const isAstray = Math.abs(sum / known) > allowed;
  return isAstray ? (ruling + 1) * (frequencyHz + asideHz[ruling]) : undefined;
}

/** Whether a tone whose frequency was fitted lies beside all multiples of a comb without it. */
function isNoneOf(hz: number, { frequencyHz, deviationHz, seconds }: Fit): boolean {
  const order = Math.round(hz / frequencyHz);
  const allowed = order * (mostApart * deviationHz + wanderHzPerS * seconds);
  return Math.abs(hz - order * frequencyHz) > allowed;
}

/** How closely a peak of the spectrum gives a tone's frequency, as a share of the resolution. */
const placeShare = 0.4;

/** What a high line gains by chance at the best of all its possible places, nepers of likelihood. */
const placesCost = 8;
/** Nepers that the other lines must lose by it: 2.8 deviations of one. */
const leastLoss = 4;

/**
 * The order that rules the frequency of a fit though it may as well be chance: the noise's highest peak
 * among many places, which pulls lines that are weak themselves away from theirs. Judged by likelihood:
 * it gains less than the other lines lose.
 *
 * @returns its index; undefined if all agree
 */
function chanceIn({ powers, asideHz, seconds }: Fit): number | undefined {
  let ruling = 0;
  const known = powers.map((power, k) => (k + 1) ** 2 * Math.max(0, power - leastPower));
  known.forEach((own, k) => {
    if (own > known[ruling]) ruling = k;
  });
  let loss = 0;
  powers.forEach((power, k) => {
    if (k === ruling || power < leastPower) return;
    loss += (asideHz[k] / deviationOf((k + 1) ** 2 * power, seconds)) ** 2 / 2;
  });
  return loss > leastLoss && powers[ruling] - placesCost < loss ? ruling : undefined;
}

/** Whether a tone lies beside all multiples of a comb. */
function isApart(hz: number, { frequencyHz, deviationHz }: Fit, seconds: number): boolean {
  const order = Math.round(hz / frequencyHz);
  const allowed = order * (mostAside * deviationHz + wanderHz / 2) + placeShare / seconds;
  return Math.abs(hz - order * frequencyHz) > allowed;
}

/** How far off a line may put the comb's frequency, hertz. */
function asideAllowed(order: number, power: number, seconds: number): number {
  return mostAside * deviationOf(order ** 2 * power, seconds) + wanderHz;
}

/** Takes the lines out of samples in which whistles stand, and leaves these where they are. */
function takeOutBeside(
  whistles: readonly number[],
  samples: Float64Array,
  sampleRate: number,
  fit: Fit,
  middle: number,
): HarmonicLines {
  const [whistle, ...others] = whistles;
  if (whistle === undefined) return takeOut(samples, sampleRate, fit, middle);
  const { residual } = fitTone(samples, whistle / sampleRate, 1);
  const tone = samples.map((x, n) => x - residual[n]);
  samples.set(residual);
  const lines = takeOutBeside(others, samples, sampleRate, fit, middle);
  for (let n = 0; n < samples.length; n++) samples[n] += tone[n];
  return lines;
}
/** Half the width of a whistle as the window shows it, in steps of 1/T. */
const whistleWidth = 3;

/** A comb's spectrum up to a frequency, in memory of its own. */
function keepReach(comb: CombSpectrum, hz: number): CombSpectrum {
  return { ...comb, power: comb.power.slice(0, Math.ceil(hz / comb.stepHz) + 2) };
}

/** A comb fitted to the thinned samples. */
interface Fit {
  readonly frequencyHz: number;
  /** One standard deviation of it. */
  readonly deviationHz: number;
  /** Amplitudes, about `middle`; index 0 is an offset. */
  readonly series: PeriodicSeries;
  /** Index of the thinned sample that the phases refer to. */
  readonly middle: number;
  readonly densities: Float64Array;
  /** Power of each line in units of its mean in noise alone. */
  readonly powers: Float64Array;
  /** How far from the common frequency each line alone would put it, hertz. */
  readonly asideHz: Float64Array;
  /** Order of the strongest line. */
  readonly strongest: number;
  /** Seconds of the samples. */
  readonly seconds: number;
}

const mostPasses = 16;
/** The frequency has settled when a step is this small against its standard deviation. */
const settled = 0.05;
/** Longest step of the frequency, cycles over the samples at the order that rules it. */
const longestStep = 0.5;

const residualRoom = createOwnBuffer();
const thinRooms = [createOwnBuffer(), createOwnBuffer()] as const;

/**
 * Gauss–Newton steps on amplitudes and frequency, from a start within half a resolution.
 *
 * @param roughly noise beneath each line; infinity where an order holds none
 * @param noiseSeenAt pass before which the noise is estimated again, when what is left holds little of
 *   the lines; 0 where it is known
 */
function refine(
  data: Float64Array,
  rateHz: number,
  startHz: number,
  roughly: Float64Array,
  noiseSeenAt: number,
): Fit {
  const count = roughly.length;
  const part = wholePeriods(data, startHz / rateHz);
  const { length } = part;
  const middle = (length - 1) / 2;
  const seconds = length / rateHz;
  const residual = residualRoom(length);
  let densities = roughly;
  let cyclesPerSample = startHz / rateHz;
  const { sum } = foldPhases(part, { cyclesPerSample, middle }, count, refinePoints);
  const { re, im } = sum;
  const shares = Float64Array.from(re, (_, k) =>
    k === 0 ? 1 / length : Number.isFinite(roughly[k - 1]) ? 2 / length : 0,
  );
  for (let k = 0; k <= count; k++) {
    re[k] *= shares[k];
    im[k] *= shares[k];
  }
  const powers = new Float64Array(count);
  const asideHz = new Float64Array(count);
  // Σm² over the samples
  const squares = (length * (length * length - 1)) / 24;
  let known = 0;
  for (let pass = 1; pass <= mostPasses; pass++) {
    const clock = { cyclesPerSample, middle };
    residual.set(part);
    subtractSeries(residual, { re, im }, clock, refinePoints);
    // The noise beneath strong lines is seen only once they are out.
    if (pass === noiseSeenAt) densities = densitiesUnder(residual, rateHz, clock, count);
    const left = foldPhases(residual, clock, count, refinePoints);
    let gradient = 0;
    let bend = 0;
    let ruling = 1;
    let rules = 0;
    known = 0;
    for (let k = 1; k <= count; k++) {
      const density = densities[k - 1];
      const power = (re[k] ** 2 + im[k] ** 2) * (seconds / (2 * density));
      powers[k - 1] = power;
      // A line near the noise may owe that to chance: it counts for little, so that it misleads little.
      const sure = Math.max(0, power - leastPower) / Math.max(power, Number.MIN_VALUE);
      const weight = (sure * 2 * Math.PI * k) / density;
      const pull = re[k] * left.moment.im[k] - im[k] * left.moment.re[k];
      gradient += weight * pull;
      const turning = 2 * Math.PI * k * (re[k] ** 2 + im[k] ** 2);
      asideHz[k - 1] = turning > 0 ? (pull / (turning * squares)) * rateHz : 0;
      const own = weight * turning;
      bend += own;
      known += k * k * Math.max(0, power - leastPower);
      if (own > rules) {
        rules = own;
        ruling = k;
      }
    }
    for (let k = 0; k <= count; k++) {
      re[k] += shares[k] * left.sum.re[k];
      im[k] += shares[k] * left.sum.im[k];
    }
    if (!(bend > 0)) break;
    const step = gradient / (bend * squares);
    const longest = longestStep / (ruling * length);
    cyclesPerSample += Math.max(-longest, Math.min(longest, step));
    const close = (settled * deviationOf(known, seconds)) / rateHz;
    if (pass > noiseSeenAt && Math.abs(step) < close) break;
  }
  let strongest = 0;
  powers.forEach((power, k) => {
    if (power > powers[strongest]) strongest = k;
  });
  return {
    frequencyHz: cyclesPerSample * rateHz,
    deviationHz: deviationOf(known, seconds),
    series: { re, im },
    middle: middle + indexWithin(data, part),
    densities,
    powers,
    asideHz,
    strongest: strongest + 1,
    seconds,
  };
}

/** After this many passes little of the lines is left. */
const linesOutAfter = 3;

/** Deviation of the frequency from the Fisher information of the lines, Σk²P, hertz. */
function deviationOf(known: number, seconds: number): number {
  return 1 / Math.sqrt(((2 * Math.PI ** 2 * seconds ** 2) / 3) * known);
}

/** The deviation as the search sees it: there a strong line counts little more than a plain one. */
function deviationSeen({ powers }: Fit, seconds: number): number {
  let known = 0;
  powers.forEach((power, k) => {
    known += (k + 1) ** 2 * Math.min(plainEvidence, Math.max(0, power - leastPower));
  });
  return deviationOf(known, seconds);
}

function densitiesUnder(
  residual: Float64Array,
  rateHz: number,
  { cyclesPerSample }: SeriesClock,
  count: number,
): Float64Array {
  const spectrum = welch(residual, rateHz, spectrumS);
  return Float64Array.from({ length: count }, (_, k) =>
    estimateNoiseDensity(spectrum, (k + 1) * cyclesPerSample * rateHz),
  );
}

/** Index in an array at which a part of it begins. */
function indexWithin(all: Float64Array, part: Float64Array): number {
  return (part.byteOffset - all.byteOffset) / Float64Array.BYTES_PER_ELEMENT;
}

/** The middle of some samples, a whole number of periods long, so that no multiple leaks into another. */
function wholePeriods(samples: Float64Array, cyclesPerSample: number): Float64Array {
  const periods = Math.floor(samples.length * cyclesPerSample);
  const length = Math.min(samples.length, Math.round(periods / cyclesPerSample));
  const from = (samples.length - length) >> 1;
  return samples.subarray(from, from + length);
}

/**
 * Whether what was fitted is a comb: lines that are seen where they were fitted, and not the skirt of
 * a tone nearby, at two multiples or more. A single line is one only near a nominal multiple, where
 * chance would seldom put a whistle.
 */
function isComb(
  { frequencyHz, series, powers, asideHz, strongest }: Fit,
  { power, stepHz, seconds, perLine }: CombSpectrum,
  nominalHz: number,
  withinHz: number,
): boolean {
  const offHz = Math.abs(frequencyHz - nominalHz);
  if (!(offHz <= withinHz)) return false;
  const seen = power[Math.round((strongest * frequencyHz) / stepHz)] / perLine;
  if (seen < leastSeen * (series.re[strongest] ** 2 + series.im[strongest] ** 2)) return false;
  // One that lies beside its multiple belongs to another comb, or is a whistle.
  const isInPlace = (k: number) => Math.abs(asideHz[k]) < asideAllowed(k + 1, powers[k], seconds);
  if (!isInPlace(strongest - 1)) return false;
  let others = 0;
  powers.forEach((own, k) => {
    if (k + 1 === strongest || own < othersFrom) return;
    if (isInPlace(k)) others += own - othersFrom;
  });
  return others > leastOthers || (2 * strongest * offHz) / nominalHz < mostChance;
}

/** The share of a line that the windowed spectrum must show. */
const leastSeen = 0.3;
/** Power beyond which other lines than the strongest count, and what they must come to. */
const othersFrom = 5;
const leastOthers = 3;
/** Deviations that a line may lie off its multiple, and how much the mains themselves wander, hertz. */
const mostAside = 6;
const wanderHz = 0.02;

/** A comb with so many lines above those asked for has others among them that do not stand out. */
const leastOfComb = 3;
/** Deviation of a line's frequency, cycles over the samples, up to which it is fitted. */
const mostBlur = 0.15;
/** The highest line that is looked for: the upper end of the noise band (IEC 60268-1). */
const topHz = 22_400;

/** Beyond what noise allows, lines above may move the frequency by what rounding does, hertz. */
const mostMovedHz = 1e-3;

/** Fits the amplitudes to the samples themselves and takes all lines out. */
function takeOut(
  samples: Float64Array,
  sampleRate: number,
  fit: Fit,
  middle: number,
): HarmonicLines {
  const { frequencyHz, densities } = fit;
  const count = densities.length;
  const cyclesPerSample = frequencyHz / sampleRate;
  const clock = { cyclesPerSample, middle };
  const { re, im } = fit.series;
  re[0] = 0;
  subtractSeries(samples, { re, im }, clock, finalPoints);
  // Folded over two periods, the odd orders lie between the lines and show the noise there.
  const whole = wholePeriods(samples, cyclesPerSample / 2);
  const from = indexWithin(samples, whole);
  const seconds = whole.length / sampleRate;
  // A line too high for its frequency to be known within a part of the resolution is not fitted.
  const knownTo = mostBlur / (fit.deviationHz * seconds);
  const highestHz = Math.min(topHz, 0.49 * sampleRate);
  const top = Math.max(count, Math.floor(Math.min(highestHz / frequencyHz, knownTo)));
  const two = { cyclesPerSample: cyclesPerSample / 2, middle: middle - from };
  const { sum } = foldPhases(whole, two, 2 * top + 1, finalPoints);
  const everywhere = new Float64Array(top).fill(Number.POSITIVE_INFINITY);
  everywhere.set(densities);
  const rough = new Float64Array(top);
  let found = 0;
  for (let k = count + 1; k <= top; k++) {
    const noise = noiseBeside(sum, k, top);
    // |Z|² of noise alone is S·rate·N/2
    rough[k - 1] = (2 * noise) / (sampleRate * whole.length);
    if (sum.re[2 * k] ** 2 + sum.im[2 * k] ** 2 < leastHigherPower * noise) continue;
    everywhere[k - 1] = rough[k - 1];
    found++;
  }
  if (found > 0) {
    // Lines that the first fit left out led it a little astray; with them the frequency is surer.
    subtractSeries(samples, { re: negated(re), im: negated(im) }, clock, finalPoints);
    const isLong = found >= leastOfComb;
    rough.set(densities);
    const better = refine(
      samples,
      sampleRate,
      frequencyHz,
      isLong ? rough : everywhere,
      isLong ? linesOutAfter : 0,
    );
    better.series.re[0] = 0;
    // A whistle near a high multiple would move the comb from where its lines have it.
    const movedHz = Math.abs(better.frequencyHz - frequencyHz);
    if (movedHz < mostAside * fit.deviationHz + mostMovedHz) {
      const { middle: own } = better;
      const at = { cyclesPerSample: better.frequencyHz / sampleRate, middle: own };
      subtractSeries(samples, better.series, at, finalPoints);
      return linesOf({ ...better, middle: own }, count, seconds);
    }
    subtractSeries(samples, { re, im }, clock, finalPoints);
  }
  const left = { re: new Float64Array(count + 1), im: new Float64Array(count + 1) };
  for (let k = 1; k <= count; k++) {
    left.re[k] = (2 * sum.re[2 * k]) / whole.length;
    left.im[k] = (2 * sum.im[2 * k]) / whole.length;
    re[k] += left.re[k];
    im[k] += left.im[k];
  }
  subtractSeries(samples, left, clock, finalPoints);
  return linesOf({ ...fit, middle }, count, seconds);
}

const negated = (values: Float64Array) => values.map((x) => -x);

function linesOf(
  { frequencyHz, deviationHz, series, middle, densities }: Fit,
  count: number,
  seconds: number,
): HarmonicLines {
  const { re, im } = series;
  const amplitudes = Float64Array.from(densities, (_, k) => Math.hypot(re[k + 1], im[k + 1]));
  const higher: HigherLine[] = [];
  for (let k = count; k < densities.length; k++) {
    if (!Number.isFinite(densities[k])) continue;
    const density = densities[k];
    higher.push({ order: k + 1, amplitude: amplitudes[k], variance: density / seconds, density });
  }
  const fitted = densities.slice(0, count);
  return {
    frequencyHz,
    deviationHz,
    amplitudes: amplitudes.slice(0, count),
    variances: fitted.map((density) => density / seconds),
    densities: fitted,
    seconds,
    series,
    middle,
    higher,
  };
}

/** Places between lines, to either side, that show the noise under one. */
const besideOrders = 20;

/** Mean of |Z|² in noise around an order: the median between lines, brought to the mean. */
function noiseBeside({ re, im }: PeriodicSeries, order: number, top: number): number {
  const around: number[] = [];
  for (let k = order - besideOrders; k < order + besideOrders; k++) {
    const odd = 2 * k + 1;
    if (k >= 0 && k <= top) around.push(re[odd] ** 2 + im[odd] ** 2);
  }
  return median(around) / Math.LN2;
}

/** Median density around a line that may lie anywhere near a multiple. */
function within({ density, stepHz, segments }: PowerSpectrum, hz: number): number {
  const middle = Math.round(hz / stepHz);
  const reach = Math.round(Math.max(searchHz, searchShare * hz) / stepHz);
  const part = density
    .slice(Math.max(1, middle - reach), Math.min(density.length - 1, middle + reach + 1))
    .sort();
  return Math.max(part[part.length >> 1] / (1 - 1 / (3 * segments)), Number.MIN_VALUE);
}

/** The noise is smooth over this, and the more the higher: hertz, and a share of the frequency. */
const searchHz = 31;
const searchShare = 0.1;
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
  /** Input sample on which the first of `data` falls, and input samples from one to the next. */
  readonly firstSample: number;
  readonly factor: number;
}

function thinned(samples: Float64Array, sampleRate: number): Thinned {
  // In two steps: the first may be crude, and the second has few samples to work on.
  const early = Math.max(1, Math.round(sampleRate / (workingHz * lateFactor)));
  const first = thinner(samples, sampleRate, early, thinRooms[0]);
  const second = thinner(first.data, sampleRate / early, lateFactor, thinRooms[1]);
  const factor = early * lateFactor;
  return {
    data: second.data,
    rateHz: sampleRate / factor,
    firstSample: first.start + early * second.start,
    factor,
  };
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
  // The first outputs still contain the zeros before the samples.
  const first = Math.ceil((-2 * thin.delay) / factor);
  return { data: out.subarray(first, written), start: first * factor + thin.delay };
}
