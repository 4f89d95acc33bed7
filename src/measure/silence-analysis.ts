import { borrowCopy } from "../dsp/buffer-pool.js";
import { extractHarmonicLines, type HarmonicLines } from "../dsp/harmonic-lines.js";
import { findQuantiserStep } from "../dsp/quantiser-step.js";
import { type PowerSpectrum, welch } from "../dsp/welch.js";
import type { Absent } from "./absence.js";
import { findSegment, isClipped, type ReturnAudio, sliceSegment } from "./return-audio.js";

/** The silence, with the mains lines found and removed. */
export interface SilenceAnalysis {
  /** As heard. */
  readonly heard: Float64Array;
  /** Without the lines and the offset; as long. */
  readonly hiss: Float64Array;
  /** Mean of the silence, full scale 1. */
  readonly offset: number;
  /** Seconds of the signal at the first sample. */
  readonly startS: number;
  /** Mains lines; undefined if none is clear of the noise. */
  readonly lines: HarmonicLines | undefined;
  /**
   * Upper bound (95 %) of the sum of squared amplitudes of some mains lines, if none is clear of
   * the noise.
   */
  readonly hidden: ((counts: (order: number) => boolean) => number) | undefined;
  /** Spectrum of `hiss`, corrected for the noise removed with the lines. */
  readonly spectrum: PowerSpectrum;
  /** Step of the quantiser that the recording went through; undefined if none is visible. */
  readonly step: number | undefined;
}

/**
 * Seconds left out at the start of a silence: the marker's last reflections and settling of the
 * path.
 */
export const silenceSettleS = 0.1;
export const silenceSegmentS = 0.34;

/** Largest deviation of the mains frequency from the desk file's, hertz. */
export const mainsWithinHz = 0.5;
/** Lines 1 to 40: up to 2 kHz, or 2.4 kHz. */
export const mainsLines = 40;

export const digitalZero: Absent = { absent: { code: "digital-zero", of: "silence" } };

/**
 * Separates the silence of a return into mains lines and the rest.
 *
 * @returns the parts, or why there are none
 * @example
 * const { lines, startS } = analyzeSilence(audio);
 * lines; // undefined
 */
export function analyzeSilence(audio: ReturnAudio): SilenceAnalysis | Absent {
  const silence = findSegment(audio.table, "silence", "silence");
  if (!silence)
    return { absent: { code: "not-in-signal", part: "silence", profile: audio.table.profile } };
  const part = sliceSegment(audio, silence.startS, silenceSettleS, silence.lengthS);
  if (!part) return { absent: { code: "not-in-capture", part: "silence" } };
  const heard = part.samples;
  if (isClipped(heard, audio)) return { absent: { code: "converter-clipped" } };
  if (isConstant(heard)) return digitalZero;
  const { mainsHz, sampleRate } = audio;
  // The mains frequency is relative to the capture's clock, not to the playing clock.
  const hiss = borrowCopy(heard);
  // Remove an offset first: one of a tenth of full scale would leave a trace in the fit of lines
  // 100 dB below it.
  const whole = subtractMean(hiss);
  const search = extractHarmonicLines(hiss, sampleRate, mainsHz, mainsWithinHz, mainsLines);
  const { lines } = search;
  const hidden = search.lines ? undefined : search.hidden;
  const offset = whole + subtractMean(hiss);
  const spectrum = welch(hiss, sampleRate, silenceSegmentS);
  if (lines) fillNotches(spectrum, lines);
  const step = findQuantiserStep(heard);
  const startS = silence.startS + part.startS;
  return { heard, hiss, offset, startS, lines, hidden, spectrum, step };
}

function isConstant(samples: Float64Array): boolean {
  let n = 1;
  while (n < samples.length && samples[n] === samples[0]) n++;
  return n >= samples.length;
}

/** Subtracts the mean, in place, and returns it. */
function subtractMean(samples: Float64Array): number {
  let sum = 0;
  for (let n = 0; n < samples.length; n++) sum += samples[n];
  const mean = sum / samples.length;
  for (let n = 0; n < samples.length; n++) samples[n] -= mean;
  return mean;
}

/** Removing a fitted line also removes the noise of one bandwidth 1/T. */
function fillNotches({ density, stepHz }: PowerSpectrum, lines: HarmonicLines): void {
  lines.densities.forEach((noise, k) => {
    const bin = Math.round(((k + 1) * lines.frequencyHz) / stepHz);
    density[bin] += noise / (lines.seconds * stepHz);
  });
  for (const { order, density: noise } of lines.higher) {
    const bin = Math.round((order * lines.frequencyHz) / stepHz);
    density[bin] += noise / (lines.seconds * stepHz);
  }
}
