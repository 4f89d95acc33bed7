import type { HarmonicLines } from "../dsp/harmonic-lines.js";
import { fitTone } from "../dsp/sine-fit.js";
import { type PowerSpectrum, welch } from "../dsp/welch.js";
import type { Absent } from "./absence.js";
import { computeDensityBetween, computeMainsVariance, computeResidualShare } from "./line-noise.js";
import { replaceAroundTone, type WithoutLine } from "./line-on-tone.js";
import { isClipped, type ReturnAudio, sliceSegment } from "./return-audio.js";
import { toneEndS, toneSettleS } from "./tone-edges.js";

/** A returned tone of the signal. */
export interface ToneAnalysis {
  readonly frequencyHz: number;
  /** Peak amplitude of harmonic 1, 2, …; full scale 1. */
  readonly amplitudes: Float64Array;
  /** Phase of each at the middle of the fitted samples, radians, cosine reference. */
  readonly phases: Float64Array;
  /** Variance of each amplitude, from the noise around its frequency. */
  readonly variances: Float64Array;
  /** Power of mains lines at the fundamental that entered its fit. */
  readonly hidden: number;
  /** Spectrum of the residual after tone and harmonics. */
  readonly rest: PowerSpectrum;
  /** The same if a mains line coincides with the tone; undefined if none does. */
  readonly withoutLine: WithoutLine | undefined;
  /** The residual, sample by sample. */
  readonly residual: Float64Array;
  /** Seconds of the signal at the first sample of `residual`. */
  readonly startS: number;
  readonly sentDbfs: number;
}

const harmonics = 10;
/** Width around a harmonic in which the noise is taken, hertz. */
const noiseWidthHz = 120;
/**
 * The same for a short tone, which would have only a dozen degrees of freedom: about forty are
 * needed for two deviations to cover 95 % (Student).
 */
const shortNoiseWidthHz = 400;
const shortS = 0.3;
/**
 * Close to the harmonics there may be more than noise: a level that settles during the step. This
 * ratio to the wide band occurs by chance once in a hundred times (F distribution, 12 and 40
 * degrees of freedom; Abramowitz and Stegun, table 26.9).
 */
const leastCloseRatio = 2.66;
/** Ratio to the noise's amplitude required of a fundamental to count as a tone. */
export const minSignalToNoise = 5;

/**
 * Fits a steady tone of the signal.
 *
 * The variance of an amplitude in noise of density S (one-sided) over a time T is S/T (from the
 * Cramér–Rao bound of a sine in white noise, Kay 1993, ex. 3.14), with S taken around the
 * harmonic's frequency, plus the effect of hum.
 *
 * @param audio the return
 * @param startS where the tone starts in the signal, seconds
 * @param lengthS its length
 * @param frequencyHz as sent
 * @param sentDbfs level as sent
 * @param lines lines of the mains as found in the silence, if there are any
 * @returns the fit; or why there is none
 * @example
 * const { startS, lengthS, frequencyHz, levelDbfs } = findSegment(audio.table, "tone", "tone-1k");
 * const tone = analyzeTone(audio, startS, lengthS, frequencyHz, levelDbfs, undefined);
 * Math.abs(tone.frequencyHz - 1000) < 0.001; // true
 */
export function analyzeTone(
  audio: ReturnAudio,
  startS: number,
  lengthS: number,
  frequencyHz: number,
  sentDbfs: number,
  lines: HarmonicLines | undefined,
): ToneAnalysis | Absent {
  const part = sliceSegment(audio, startS, toneSettleS, lengthS - toneEndS);
  if (!part) return { absent: { code: "not-in-capture", part: "tone" } };
  if (isClipped(part.samples, audio)) return { absent: { code: "converter-clipped" } };
  const seconds = part.samples.length / audio.clock;
  const fit = fitTone(part.samples, frequencyHz / audio.clock, harmonics);
  const rest = welch(fit.residual, audio.clock, 0.12);
  const fundamentalHz = fit.frequency * audio.clock;
  // Mains frequencies are relative to the recorder's clock, by which the tone is slightly off.
  const besideMains = audio.sampleRate / audio.clock;
  const densityWithin = (hz: number, widthHz: number) =>
    computeDensityBetween(rest, hz, widthHz, lines) / computeResidualShare(widthHz, seconds);
  const variances = fit.amplitudes.map((_, k) => {
    const hz = (k + 1) * fundamentalHz;
    const close = densityWithin(hz, noiseWidthHz);
    const wide = seconds < shortS ? densityWithin(hz, shortNoiseWidthHz) : close;
    const density = close > leastCloseRatio * wide ? close : wide;
    return density / seconds + computeMainsVariance(lines, hz * besideMains, seconds);
  });
  if (!(fit.amplitudes[0] > minSignalToNoise * Math.sqrt(2 * variances[0]))) {
    return { absent: { code: "no-tone", hz: frequencyHz } };
  }
  return {
    frequencyHz: fundamentalHz,
    hidden: computeMainsVariance(lines, fundamentalHz * besideMains, seconds),
    amplitudes: fit.amplitudes,
    phases: fit.phases,
    variances,
    rest,
    withoutLine: replaceAroundTone(rest, lines, fundamentalHz * besideMains, seconds),
    residual: fit.residual,
    startS: startS + part.startS,
    sentDbfs,
  };
}
