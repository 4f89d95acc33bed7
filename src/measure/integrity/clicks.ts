import { findImpulses } from "../../dsp/impulses.js";
import { type Absent, isAbsent } from "../absence.js";
import type { ReturnAudio } from "../return-audio.js";
import type { SilenceAnalysis } from "../silence-analysis.js";
import type { ToneAnalysis } from "../tone.js";

/** A click in a return. */
export interface Click {
  /** Seconds of the signal. */
  readonly atS: number;
  /** Peak relative to the typical peak of the background, decibels. */
  readonly overDb: number;
}

/** Clicks found, and the time searched. */
export interface ClickAnalysis {
  readonly clicks: readonly Click[];
  /** Seconds searched. */
  readonly seconds: number;
}

/** One period of the 1 kHz tone, so that what its distortion repeats is background. */
const blockS = 0.001;
/** Fewer impulses than this cannot show a relation to the mains. */
const leastTogether = 12;
/** Mean resultant length of their phases from which impulses are tied to the mains. */
const together = 0.8;
/** Radians; impulses this close to the common phase come from the mains. */
const nearRad = 0.6;

/**
 * Clicks in the silence and under the 1 kHz tone. Impulses in every half-wave of the mains, e.g.
 * from a dimmer or a rectifier, are hum and not counted.
 *
 * @param quiet the silence, or why there is none
 *
 * @param tone the 1 kHz tone, or why there is none; then only the silence is searched
 *
 * @returns the clicks in order of time, or why there are none to search
 * @example
 * const context = createReturnContext(audio);
 *
 * const { clicks, seconds } = analyzeClicks(audio, context.quiet(), context.tone("tone-1k"));
 * clicks; // []
 * seconds > 1; // true
 */
export function analyzeClicks(
  { sampleRate, mainsHz }: ReturnAudio,
  quiet: SilenceAnalysis | Absent,
  tone: ToneAnalysis | Absent,
): ClickAnalysis | Absent {
  if (isAbsent(quiet)) return quiet;
  const parts = [
    { samples: quiet.hiss, startS: quiet.startS },
    ...(isAbsent(tone) ? [] : [{ samples: tone.residual, startS: tone.startS }]),
  ];
  const clicks = parts.flatMap(({ samples, startS }) =>
    findImpulses(samples, sampleRate, blockS).map(({ at, overDb }) => ({
      atS: startS + at / sampleRate,
      overDb,
    })),
  );
  const seconds = parts.reduce((sum, { samples }) => sum + samples.length, 0) / sampleRate;
  return { clicks: withoutMains(clicks, quiet.lines?.frequencyHz ?? mainsHz), seconds };
}

/** Leaves out impulses that keep one phase of the mains' half-waves (Rayleigh test). */
function withoutMains(clicks: readonly Click[], mainsHz: number): readonly Click[] {
  if (clicks.length < leastTogether) return clicks;
  const phases = clicks.map(({ atS }) => 2 * Math.PI * ((2 * mainsHz * atS) % 1));
  const c = phases.reduce((sum, p) => sum + Math.cos(p), 0) / phases.length;
  const s = phases.reduce((sum, p) => sum + Math.sin(p), 0) / phases.length;
  if (Math.hypot(c, s) < together) return clicks;
  const common = Math.atan2(s, c);
  return clicks.filter((_, i) => Math.cos(phases[i] - common) < Math.cos(nearRad));
}
