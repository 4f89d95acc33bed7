import { computeWindowedAmplitude, fitToneAt, windowedStdDevFactor } from "../dsp/sine-fit.js";
import { type PowerSpectrum, welch } from "../dsp/welch.js";
import type { StepsSegment } from "../signal/types.js";
import type { Absent } from "./absence.js";
import { computeAmplitudeVariance, computeVarianceBeside } from "./line-noise.js";
import { isClipped, type ReturnAudio, sliceSegment } from "./return-audio.js";
import { toneEndS, toneFlankS, toneSettleS } from "./tone-edges.js";

/** One returned level step. */
export interface AnalyzedStep {
  /** Sent level, decibels above nominal. */
  readonly aboveNominalDb: number;
  /** Peak amplitude of harmonic 1, 2, …; full scale 1. */
  readonly amplitudes: Float64Array;
  /** Phase of each at one instant, radians, cosine reference. */
  readonly phases: Float64Array;
  /** Variance of each amplitude, from the noise around its frequency. */
  readonly variances: Float64Array;
  /**
   * The fundamental, measured so that hum far stronger than a weak step does not affect it, with
   * its variance.
   */
  readonly level: { readonly amplitude: number; readonly variance: number };
}

/** The returned level steps, from the lowest up. */
export interface LevelStepAnalysis {
  readonly steps: readonly AnalyzedStep[];
  /** The lowest step at which the capture's converter clipped, decibels above nominal. */
  readonly converterClippedDb: number | undefined;
}

/**
 * Hertz; harmonics up to here describe the waveform of a step that may clip; a weak one needs few.
 */
const topHz = 20_000;
const weakHarmonics = 3;
const noiseWidthHz = 400;
const besideWidthHz = 1000;

/**
 * Fits every level step at one known frequency, so that even the lowest is measured coherently.
 *
 * @param frequencyHz as found on the longer tone, or as sent
 * @param silence spectrum of the silence, if there is one
 * @returns the steps; or why there are none
 * @example
 * const segment = findSegment(audio.table, "steps");
 * const { steps } = analyzeLevelSteps(audio, segment, 1000, undefined);
 * steps.map(({ aboveNominalDb }) => aboveNominalDb); // [12]
 * // Sent at −6 dBFS, recorded 6 dB quieter through a first-order high-pass of 100 Hz.
 * amplitudeToDb(steps[0].amplitudes[0]).toFixed(1); // "-12.0"
 */
export function analyzeLevelSteps(
  audio: ReturnAudio,
  segment: StepsSegment,
  frequencyHz: number,
  silence: PowerSpectrum | undefined,
): LevelStepAnalysis | Absent {
  const frequency = frequencyHz / audio.clock;
  const most = Math.floor(topHz / frequencyHz);
  const steps: AnalyzedStep[] = [];
  let converterClippedDb: number | undefined;
  for (const [k, levelDbfs] of segment.levelsDbfs.entries()) {
    const startS = segment.startS + k * segment.stepS;
    const part = sliceSegment(audio, startS, toneSettleS, segment.stepS - toneEndS);
    if (!part) return { absent: { code: "not-in-capture", part: "level-steps" } };
    const aboveNominalDb = levelDbfs - audio.table.nominalDbfs;
    if (isClipped(part.samples, audio)) {
      converterClippedDb = Math.min(aboveNominalDb, converterClippedDb ?? aboveNominalDb);
      continue;
    }
    const count = aboveNominalDb < 0 ? Math.min(weakHarmonics, most) : most;
    const { amplitudes, phases, residual } = fitToneAt(part.samples, frequency, count);
    const rest = welch(residual, audio.clock, 0.12);
    const seconds = part.samples.length / audio.clock;
    const variances = amplitudes.map((_, n) =>
      computeAmplitudeVariance(rest, silence, (n + 1) * frequencyHz, seconds, noiseWidthHz),
    );
    // A weak step needs less settling time: it is windowed, so only nearby frequencies matter.
    const fromS = aboveNominalDb < 0 ? toneFlankS : toneSettleS;
    const longer = sliceSegment(audio, startS, fromS, segment.stepS - toneEndS) ?? part;
    const longerS = longer.samples.length / audio.clock;
    const level = {
      amplitude: computeWindowedAmplitude(longer.samples, frequency),
      variance:
        windowedStdDevFactor *
        computeVarianceBeside(rest, silence, frequencyHz, longerS, besideWidthHz),
    };
    steps.push({ aboveNominalDb, amplitudes, phases, variances, level });
  }
  steps.sort((a, b) => a.aboveNominalDb - b.aboveNominalDb);
  return { steps, converterClippedDb };
}
