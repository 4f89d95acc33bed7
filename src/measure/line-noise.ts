import type { HarmonicLines } from "../dsp/harmonic-lines.js";
import { computeDensityAround, type PowerSpectrum } from "../dsp/welch.js";

/**
 * Variance of a fitted amplitude caused by mains lines. A line at the frequency enters the fit
 * fully, one beside it by the side lobe of the window; its phase is unknown.
 *
 * @param lines as found in the silence; undefined if there are none
 * @param hz frequency of the amplitude
 * @param seconds length of the samples fitted
 * @example
 * const lines = {
 *   frequencyHz: 50,
 *   deviationHz: 0,
 *   amplitudes: Float64Array.of(0.01),
 *   variances: Float64Array.of(0),
 *   higher: [],
 * };
 *
 * // A line on the frequency goes into the fit whole: half its square.
 * computeMainsVariance(lines, 50, 1).toFixed(6); // "0.000050"
 * computeMainsVariance(undefined, 50, 1); // 0
 */
export function computeMainsVariance(
  lines: HarmonicLines | undefined,
  hz: number,
  seconds: number,
): number {
  if (!lines) return 0;
  let sum = 0;
  const add = (order: number, amplitude: number, variance: number) => {
    const power = amplitude * amplitude - 2 * variance;
    if (power <= 0) return;
    const cycles = Math.abs(order * lines.frequencyHz - hz) * seconds;
    const wander = order * Math.hypot(wanderHz, lines.deviationHz) * seconds;
    const share = cycles < nearCycles ? shareWithin(cycles, wander) : sideLobeShare(cycles);
    sum += (power * share) / 2;
  };
  lines.amplitudes.forEach((amplitude, k) => {
    add(k + 1, amplitude, lines.variances[k]);
  });
  for (const { order, amplitude, variance } of lines.higher) add(order, amplitude, variance);
  return sum;
}

/**
 * Upper bound of {@link computeMainsVariance} if no lines are visible in the silence. Lines within
 * the amplitude's main lobe are left out: they are part of the noise there.
 *
 * @param hidden upper bound of the sum of squared amplitudes of lines of some orders
 * @param mainsHz nominal frequency of the mains
 * @param count highest order
 * @param hz frequency of the amplitude
 * @param seconds length of the samples fitted
 * @example
 * // Far from the only line, 950 cycles: (0.5/(π·950)²)/2 of its power.
 * computeHiddenMainsVariance(() => 1, 50, 1, 1000, 1) * (Math.PI * 950) ** 2; // 0.25
 * computeHiddenMainsVariance(() => 0, 50, 40, 1000, 1); // 0
 */
export function computeHiddenMainsVariance(
  hidden: (counts: (order: number) => boolean) => number,
  mainsHz: number,
  count: number,
  hz: number,
  seconds: number,
): number {
  let sum = 0;
  for (let order = 1; order <= count; order++) {
    const cycles = Math.abs(order * mainsHz - hz) * seconds;
    if (cycles < lobeCycles) continue;
    sum += (hidden((n) => n === order) * sideLobeShare(cycles)) / 2;
  }
  return sum;
}

/** Cycles over the samples; closer than this, the position of a line within a lobe is known. */
const nearCycles = 4;
/** Hertz; standard deviation of the mains frequency between silence and tone. */
const wanderHz = 0.005;

/**
 * Share of a line's power that enters a fit c cycles away: (sin πc/πc)², or the mean over a normal
 * distribution of c if that is more, E sin²(πc) = (1 − cos(2πc)·exp(−2π²σ²))/2.
 */
function shareWithin(cycles: number, wander: number): number {
  const x = Math.PI * Math.hypot(cycles, wander);
  if (x < 1e-2) return 1;
  const kept = Math.exp(-2 * (Math.PI * wander) ** 2);
  const mean = (0.5 - 0.5 * kept * Math.cos(2 * Math.PI * cycles)) / (x * x);
  const plain = cycles < 1e-3 ? 1 : (Math.sin(Math.PI * cycles) / (Math.PI * cycles)) ** 2;
  return Math.max(mean, plain);
}

/** Cycles over the samples at which the side lobes begin. */
const lobeCycles = 0.75;

/**
 * Share of a line's power in a side lobe: the mean over a lobe, since the mains frequency wanders.
 */
const sideLobeShare = (cycles: number) => 0.5 / (Math.PI * cycles) ** 2;

/**
 * Share of the noise around a fitted line that remains after the fit: it takes two of the 2·B·T
 * degrees of freedom that noise of width B has in a time T.
 *
 * @example
 * // 10 Hz over a second hold twenty degrees of freedom, of which the fit takes two.
 * computeResidualShare(10, 1); // 0.9
 */
export function computeResidualShare(widthHz: number, seconds: number): number {
  const widths = widthHz * seconds;
  return widths > 2 ? 1 - 1 / widths : 0.5;
}

/** Bins to either side that a line reaches through a Hann window: its main lobe, and a half. */
const lineReachBins = 2.5;

/**
 * Density of the noise around a frequency, between the mains lines: their effect on an amplitude is
 * {@link computeMainsVariance}, and they would count twice.
 *
 * @param lines as found in the silence; undefined if there are none
 * @returns power per hertz
 * @example
 * const spectrum = (value) => ({ density: new Float64Array(1001).fill(value), stepHz: 1, segments: 10 });
 *
 * computeDensityBetween(spectrum(2e-9), 500, 20, undefined) / 2e-9; // 1
 */
export function computeDensityBetween(
  spectrum: PowerSpectrum,
  hz: number,
  widthHz: number,
  lines: HarmonicLines | undefined,
): number {
  const around = computeDensityAround(spectrum, hz, widthHz);
  if (!lines) return around;
  const { density, stepHz } = spectrum;
  let sum = 0;
  let count = 0;
  const last = Math.min(density.length - 2, Math.round((hz + widthHz / 2) / stepHz));
  for (let k = Math.max(1, Math.round((hz - widthHz / 2) / stepHz)); k <= last; k++) {
    if (!isBesideLines(k * stepHz, stepHz, lines)) continue;
    sum += density[k];
    count++;
  }
  return count > 0 ? sum / count : around;
}

/**
 * Whether a bin lies clear of the lines of the mains.
 *
 * @example
 * const lines = {
 *   frequencyHz: 50,
 *   deviationHz: 0,
 *   amplitudes: Float64Array.of(0.01),
 *   variances: Float64Array.of(0),
 * };
 *
 * isBesideLines(51, 1, lines); // false
 * isBesideLines(60, 1, lines); // true
 */
export function isBesideLines(hz: number, stepHz: number, lines: HarmonicLines): boolean {
  const order = Math.round(hz / lines.frequencyHz);
  const away = Math.abs(hz - order * lines.frequencyHz) / stepHz;
  return order < 1 || order > lines.amplitudes.length || away >= lineReachBins;
}

/**
 * Hertz; width in which a mains line is searched: main lobe of the window plus wandering of the
 * mains.
 */
const lineWidthHz = 12;
/** Ratio to the surrounding noise from which there is a line at a frequency. */
const lineRatio = 3;

/**
 * Variance of a fitted amplitude.
 *
 * In noise of density S (one-sided) over a time T it is S/T (Cramér–Rao bound of a sine in white
 * noise, Kay 1993, ex. 3.14), with S taken around the frequency in the residual of the fit. A mains
 * line at the frequency is fitted along with the tone and missing there; the silence still shows
 * it, and its power, of any phase, is added.
 *
 * @param rest spectrum of the residual
 * @param silence spectrum of the silence; undefined if there is none
 * @param hz frequency of the amplitude
 * @param seconds length of the samples fitted
 * @param widthHz width over which the noise is averaged
 * @example
 * const spectrum = (value) => ({ density: new Float64Array(1001).fill(value), stepHz: 1, segments: 10 });
 *
 * // S/T over what the fit leaves: 4e-9 over 2 s, of which 1 − 1/(20·2) is left.
 * computeAmplitudeVariance(spectrum(4e-9), undefined, 500, 2, 20) / 2e-9; // 1.025641
 */
export function computeAmplitudeVariance(
  rest: PowerSpectrum,
  silence: PowerSpectrum | undefined,
  hz: number,
  seconds: number,
  widthHz: number,
): number {
  const density = computeDensityAround(rest, hz, widthHz) / computeResidualShare(widthHz, seconds);
  return varianceIn(density, silence, hz, seconds);
}

/**
 * The same with the noise taken slightly beside the frequency, where a disturbed fit has left no
 * residue of the tone.
 *
 * @example
 * const spectrum = (value) => ({ density: new Float64Array(1001).fill(value), stepHz: 1, segments: 10 });
 *
 * computeVarianceBeside(spectrum(4e-9), undefined, 500, 2, 20) / 2e-9; // 1
 */
export function computeVarianceBeside(
  rest: PowerSpectrum,
  silence: PowerSpectrum | undefined,
  hz: number,
  seconds: number,
  widthHz: number,
): number {
  const side = 0.3 * widthHz;
  const below = computeDensityAround(rest, hz - side, 0.4 * widthHz);
  const above = computeDensityAround(rest, hz + side, 0.4 * widthHz);
  return varianceIn((below + above) / 2, silence, hz, seconds);
}

function varianceIn(
  density: number,
  silence: PowerSpectrum | undefined,
  hz: number,
  seconds: number,
): number {
  const quiet = silence === undefined ? 0 : computeDensityAround(silence, hz, lineWidthHz);
  const line = quiet > lineRatio * density ? (quiet - density) * lineWidthHz : 0;
  return density / seconds + line;
}
