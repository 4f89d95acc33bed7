import type { PowerSpectrum } from "../dsp/welch.js";
import type { Absent } from "./absence.js";
import type { ClickAnalysis } from "./integrity/clicks.js";
import type { LevelStepAnalysis } from "./level-step-analysis.js";
import type { ReturnAudio } from "./return-audio.js";
import type { ResponseEnd, RollOff } from "./roll-off.js";
import type { SilenceAnalysis } from "./silence-analysis.js";
import type { ToneInNoise } from "./strongest-tone.js";
import type { SweepAnalysis } from "./sweep-answer.js";
import type { ToneAnalysis } from "./tone.js";
import type { TwoToneAnalysis } from "./two-tone.js";
import type { LevelBreakMark } from "./types.js";

/** Seconds of silence before the sweep that are included. */
export const beforeSweepS = 0.02;

/**
 * Results that several readings of one return share, each computed once and only when needed. An
 * {@link Absent} in place of a result says why there is none.
 */
export interface ReturnContext {
  readonly audio: ReturnAudio;
  tone(name: string): ToneAnalysis | Absent;
  /** A level step, decibels above the nominal level. */
  step(aboveNominalDb: number): ToneAnalysis | Absent;
  /** All level steps, with phases and harmonics to 20 kHz. */
  ladder(): LevelStepAnalysis | Absent;
  twin(): TwoToneAnalysis | Absent;
  /** Spectrum of the silence as heard. */
  silence(): PowerSpectrum | Absent;
  /** The silence separated into mains lines and the rest. */
  quiet(): SilenceAnalysis | Absent;
  /** The strongest steady tone in the silence that is not a mains line; undefined if none. */
  steadyTone(): ToneInNoise | Absent | undefined;
  /** Clicks in the silence and under the 1 kHz tone. */
  clicks(): ClickAnalysis | Absent;
  /** Breaks of the level in time, except where the recorder lost samples. */
  levelBreaks(): readonly LevelBreakMark[];
  sweep(): SweepAnalysis | Absent;
  rollOff(end: ResponseEnd): RollOff | Absent;
  /** The other side of a stereo bus; undefined if only one was recorded. */
  partner(): ReturnContext | undefined;
}
