import type { HarmonicLines } from "../dsp/harmonic-lines.js";
import { fitMultitone } from "../dsp/multitone-fit.js";
import { type PowerSpectrum, welch } from "../dsp/welch.js";
import type { TwinSegment } from "../signal/types.js";
import type { Absent } from "./absence.js";
import {
  computeAmplitudeVariance,
  computeDensityBetween,
  computeMainsVariance,
  computeResidualShare,
} from "./line-noise.js";
import { isClipped, type ReturnAudio, sliceSegment } from "./return-audio.js";
import { toneEndS, toneSettleS } from "./tone-edges.js";

/** One line of the response to two tones. */
export interface TwoToneLine {
  readonly frequencyHz: number;
  /** Peak amplitude, full scale 1. */
  readonly amplitude: number;
  /** Variance of the amplitude, from the noise around its frequency. */
  readonly variance: number;
}

/** Two returned tones, with the difference tones made by the path. */
export interface TwoToneAnalysis {
  readonly low: TwoToneLine;
  readonly high: TwoToneLine;
  /** f2 − f1. */
  readonly second: readonly TwoToneLine[];
  /** 2·f1 − f2 and, if within the sample rate, 2·f2 − f1. */
  readonly third: readonly TwoToneLine[];
}

/** A line above this share of the sample rate is in the converter's filter. */
const highestShare = 0.46;
const leastSignalToNoise = 5;
const noiseWidthHz = 120;

/**
 * Fits both tones and their difference tones of second and third order together.
 *
 * @param silence spectrum of the silence, if there is one
 * @param mains lines of the mains as found in it, if there are any: the twentieth of 50 Hz
 * coincides with the difference tone
 * @returns the fit; or why there is none
 * @example
 * const twin = findSegment(buildSignalTable("standard", "base"), "twin");
 * // The recording is of the quick signal: where the twin tone would be, it has ended.
 * analyzeTwoTone(audio, { ...twin, startS: 60 }, undefined, undefined).absent.part; // "twin-tone"
 */
export function analyzeTwoTone(
  audio: ReturnAudio,
  twin: TwinSegment,
  silence: PowerSpectrum | undefined,
  mains: HarmonicLines | undefined,
): TwoToneAnalysis | Absent {
  const { lowHz, highHz } = twin;
  const holdsHz = highestShare * audio.sampleRate;
  if (highHz > holdsHz) {
    return {
      absent: { code: "tone-beyond-rate", hz: highHz, sampleRate: audio.sampleRate },
    };
  }
  const part = sliceSegment(audio, twin.startS, toneSettleS, twin.lengthS - toneEndS);
  if (!part) return { absent: { code: "not-in-capture", part: "twin-tone" } };
  if (isClipped(part.samples, audio)) return { absent: { code: "converter-clipped" } };
  const combinations = [
    [-1, 1],
    [2, -1],
    [-1, 2],
  ].filter(([l, h]) => l * lowHz + h * highHz <= holdsHz);
  const { clock } = audio;
  const fit = fitMultitone(part.samples, [lowHz / clock, highHz / clock], combinations);
  const rest = welch(fit.residual, clock, 0.12);
  const seconds = part.samples.length / clock;
  const varianceAt = (hz: number) => {
    if (!mains) return computeAmplitudeVariance(rest, silence, hz, seconds, noiseWidthHz);
    const density = computeDensityBetween(rest, hz, noiseWidthHz, mains);
    const noise = density / computeResidualShare(noiseWidthHz, seconds) / seconds;
    return noise + computeMainsVariance(mains, (hz * audio.sampleRate) / clock, seconds);
  };
  const weights = [[1, 0], [0, 1], ...combinations];
  const lines = weights.map(([l, h], k): TwoToneLine => {
    const frequencyHz = (l * fit.bases[0] + h * fit.bases[1]) * clock;
    return { frequencyHz, amplitude: fit.amplitudes[k], variance: varianceAt(frequencyHz) };
  });
  const [low, high, difference, ...third] = lines;
  for (const tone of [low, high]) {
    if (tone.amplitude > leastSignalToNoise * Math.sqrt(2 * tone.variance)) continue;
    const sentHz = tone === low ? lowHz : highHz;
    return { absent: { code: "no-tone", hz: sentHz } };
  }
  return { low, high, second: [difference], third };
}
