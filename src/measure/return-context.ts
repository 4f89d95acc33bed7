import {
  createHighPassShape,
  createSweepReference,
  deconvolve,
  gateResponse,
  type SweepReference,
} from "../dsp/deconvolution.js";
import { type PowerSpectrum, welch } from "../dsp/welch.js";
import { renderSegment } from "../signal/synthesise.js";
import type { SweepSegment } from "../signal/types.js";
import { type Absent, isAbsent, type SignalPart } from "./absence.js";
import { analyzeClicks } from "./integrity/clicks.js";
import { findClipLevels } from "./integrity/clip-levels.js";
import { listOwnBreaks } from "./integrity/own-breaks.js";
import { analyzeLevelSteps } from "./level-step-analysis.js";
import { findSegment, isClipped, type ReturnAudio, sliceSegment } from "./return-audio.js";
import { beforeSweepS, type ReturnContext } from "./return-context-types.js";
import { computeRollOff } from "./roll-off.js";
import {
  analyzeSilence,
  type SilenceAnalysis,
  silenceSegmentS,
  silenceSettleS,
} from "./silence-analysis.js";
import { findStrongestTone } from "./strongest-tone.js";
import { buildSweepGates } from "./sweep.js";
import type { SweepAnalysis } from "./sweep-answer.js";
import { readHarmonics } from "./sweep-harmonics.js";
import { takeMainsOut } from "./sweep-mains.js";
import { analyzeTone } from "./tone.js";
import { analyzeTwoTone } from "./two-tone.js";

export type { ReturnContext } from "./return-context-types.js";

/**
 * Prepares a return for measuring.
 *
 * @example
 * const context = createReturnContext(audio);
 *
 * // The recording is 6 dB quieter than the signal, whose tone is sent at −18 dBFS.
 * amplitudeToDb(context.tone("tone-1k").amplitudes[0]).toFixed(1); // "-24.0"
 * context.tone("tone-100").absent.code; // "not-in-signal"
 */
export function createReturnContext(given: ReturnAudio): ReturnContext {
  const audio = given.ceiling ? given : { ...given, ceiling: findClipLevels(given) };
  const kept = new Map<string, unknown>();
  function once<T>(key: string, make: () => T): T {
    if (!kept.has(key)) kept.set(key, make());
    return kept.get(key) as T;
  }
  const lacks = (part: SignalPart): Absent => ({
    absent: { code: "not-in-signal", part, profile: audio.table.profile },
  });
  const context: ReturnContext = {
    audio,
    tone: (name) =>
      once(`tone ${name}`, () => {
        const tone = findSegment(audio.table, "tone", name);
        if (!tone) return lacks("tone");
        const { startS, lengthS, frequencyHz, levelDbfs } = tone;
        return analyzeTone(
          audio,
          startS,
          lengthS,
          frequencyHz,
          levelDbfs,
          linesOf(context.quiet()),
        );
      }),
    step: (aboveNominalDb) =>
      once(`step ${aboveNominalDb}`, () => {
        const steps = findSegment(audio.table, "steps");
        const level = audio.table.nominalDbfs + aboveNominalDb;
        const index = steps ? steps.levelsDbfs.indexOf(level) : -1;
        if (!steps || index < 0) return lacks("step");
        const startS = steps.startS + index * steps.stepS;
        const { stepS, frequencyHz } = steps;
        return analyzeTone(audio, startS, stepS, frequencyHz, level, linesOf(context.quiet()));
      }),
    ladder: () =>
      once("ladder", () => {
        const steps = findSegment(audio.table, "steps");
        if (!steps) return lacks("level-steps");
        const tone = findSegment(audio.table, "tone", "tone-1k");
        const found = tone?.frequencyHz === steps.frequencyHz ? context.tone("tone-1k") : undefined;
        const frequencyHz =
          found === undefined || isAbsent(found) ? steps.frequencyHz : found.frequencyHz;
        return analyzeLevelSteps(audio, steps, frequencyHz, spectrum(context.silence()));
      }),
    twin: () =>
      once("twin", () => {
        const twin = findSegment(audio.table, "twin");
        if (!twin) return lacks("twin-tone");
        return analyzeTwoTone(audio, twin, spectrum(context.silence()), linesOf(context.quiet()));
      }),
    silence: () =>
      once("silence", () => {
        const silence = findSegment(audio.table, "silence");
        if (!silence)
          return {
            absent: { code: "not-in-signal", part: "silence", profile: audio.table.profile },
          };
        const part = sliceSegment(audio, silence.startS, silenceSettleS, silence.lengthS);
        if (!part) return { absent: { code: "not-in-capture", part: "silence" } };
        if (isClipped(part.samples, audio)) return { absent: { code: "converter-clipped" } };
        return welch(part.samples, audio.clock, silenceSegmentS);
      }),
    quiet: () => once("quiet", () => analyzeSilence(audio)),
    steadyTone: () =>
      once("steady-tone", () => {
        const quiet = context.quiet();
        return isAbsent(quiet) ? quiet : findStrongestTone(quiet.spectrum, quiet.lines);
      }),
    clicks: () =>
      once("clicks", () => analyzeClicks(audio, context.quiet(), context.tone("tone-1k"))),
    levelBreaks: () => once("level breaks", () => listOwnBreaks(context)),
    sweep: () => once("sweep", () => sweepAnswer(context)),
    rollOff: (end) =>
      once(`roll-off ${end}`, () => {
        const answer = context.sweep();
        return isAbsent(answer) ? answer : computeRollOff(answer, end);
      }),
    partner: () =>
      once("partner", () => {
        const { partner, ...alone } = audio;
        if (partner === undefined) return undefined;
        const { samples, ceiling } = partner;
        const { ceiling: _, ...other } = alone;
        return createReturnContext({ ...other, samples, ...(ceiling ? { ceiling } : {}) });
      }),
  };
  return context;
}

function spectrum(silence: PowerSpectrum | Absent): PowerSpectrum | undefined {
  return isAbsent(silence) ? undefined : silence;
}

function linesOf(quiet: SilenceAnalysis | Absent) {
  return isAbsent(quiet) ? undefined : quiet.lines;
}

function sweepAnswer(context: ReturnContext): SweepAnalysis | Absent {
  const { audio } = context;
  const played = findSegment(audio.table, "sweep");
  if (!played)
    return { absent: { code: "not-in-signal", part: "sweep", profile: audio.table.profile } };
  const sweep = heldBy(played, audio.sampleRate);
  const part = sliceSegment(audio, sweep.startS, -beforeSweepS, sweep.lengthS);
  if (!part) return { absent: { code: "not-in-capture", part: "sweep" } };
  if (isClipped(part.samples, audio)) return { absent: { code: "converter-clipped" } };
  const silence = context.silence();
  const reference = referenceFor(sweep, onGrid(audio.clock, audio.sampleRate), part.samples.length);
  const quiet = context.quiet();
  // An offset is not part of the response, and its step would show at low frequency.
  const offset = isAbsent(quiet) ? 0 : quiet.offset;
  const withoutMains = mainsIn(audio, sweep.startS + part.startS, part.samples, quiet);
  const response = deconvolve(reference, withoutMains.samples, offset);
  const shaping = createHighPassShape(sweep);
  // Noise during the sweep is assumed to be that of the silence just before it.
  const noise = spectrum(silence);
  return {
    sweep,
    gates: buildSweepGates(sweep).map((g) => ({
      toHz: g.toHz,
      ...gateResponse(response, g.beforeS, g.afterS),
      half: gateResponse(response, g.beforeS, g.afterS / 2),
    })),
    harmonics: readHarmonics({ sweep, reference, noise, shaping }, response),
    shaping,
    reference,
    noise,
    quiet: isAbsent(quiet) ? undefined : quiet,
    mainsRest: withoutMains.rest,
  };
}

/** The samples without the mains lines found in the silence. */
function mainsIn(
  { clock, sampleRate }: ReturnAudio,
  startS: number,
  samples: Float64Array,
  quiet: SilenceAnalysis | Absent,
) {
  if (isAbsent(quiet) || !quiet.lines) return { samples, rest: [] };
  const laterBy = Math.round((startS - quiet.startS) * clock);
  return takeMainsOut(samples, sampleRate, quiet.lines, laterBy);
}

/** Hertz; upper end of the base signals' sweep, possible at every sample rate. */
const narrowTopHz = 21_000;
/**
 * The recorder's filter removes everything above half its rate; the reference sweep is rendered up
 * to this share of the rate, so that its end does not disturb anything below `narrowTopHz`.
 */
const renderedShare = 0.495;

/** The part of a sweep within a capture's bandwidth. */
function heldBy(sweep: SweepSegment, sampleRate: number): SweepSegment {
  if (sweep.toHz <= sampleRate / 2) return sweep;
  const sweepS = sweep.rateS * Math.log((renderedShare * sampleRate) / sweep.fromHz);
  return { ...sweep, toHz: narrowTopHz, sweepS };
}

/**
 * Clock differences are rounded to this for the reference, so that the returns of a round share
 * one: over the longest sweep the error is a tenth of a microsecond, a small phase shift.
 */
const clockGridPpm = 0.02;

function onGrid(clock: number, sampleRate: number): number {
  const ppm = Math.round((clock / sampleRate - 1) / (clockGridPpm * 1e-6)) * clockGridPpm;
  return sampleRate * (1 + ppm * 1e-6);
}

const references = new Map<string, SweepReference>();
const mostReferences = 2;

/**
 * The sweep as sent, from `beforeSweepS` before its start. The capture's samples begin up to a
 * sample later; that is a delay, which does not affect the magnitude.
 */
function referenceFor(sweep: SweepSegment, clock: number, length: number): SweepReference {
  const { fromHz, toHz, rateS, sweepS, levelDbfs } = sweep;
  const wanted = Math.ceil(length / 1024) * 1024;
  const key = [fromHz, toHz, rateS, sweepS, levelDbfs, clock, wanted].join();
  const kept = references.get(key);
  if (kept) return kept;
  const samples = new Float64Array(wanted);
  renderSegment(sweep, -beforeSweepS, 1 / clock, samples);
  const reference = createSweepReference(samples, clock, fromHz, toHz);
  const oldest = references.keys().next().value;
  if (references.size >= mostReferences && oldest !== undefined) references.delete(oldest);
  references.set(key, reference);
  return reference;
}
