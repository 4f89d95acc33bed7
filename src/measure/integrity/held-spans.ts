import { findSmallestStep } from "../../dsp/smallest-step.js";
import { computePlayedSpan, isAtClipLevel, type ReturnAudio } from "../return-audio.js";
import { toneEndS, toneFlankS } from "../tone-edges.js";
import { computeEqualShare } from "./equal-share.js";

/** A run of equal samples that only the recorder can have made. */
export interface HeldSpan {
  /** Index of its first sample, and of the first after it. */
  readonly begin: number;
  readonly end: number;
}

/** At the sweep's beginning, natural logarithm of frequency: half an octave. */
const sweepSettle = Math.LN2 / 2;
/** Runs of equal samples from this length are examined. */
const leastHeld = 16;
/** Shortest run that the noise alone proves, seconds. */
const leastSure = 48;
/**
 * Bits; improbability by chance required of a run of equal samples: an hour at 96 kHz has 2^29
 * positions.
 */
const leastBits = 50;
/** Below this amplitude a coarse quantiser may hold a value. */
const leastAmplitude = 0.003;
/** Hertz; above this a held run in the sweep is recognised by its length alone. */
const heldFromHz = 1000;

/**
 * Runs that the recorder held at one value, zero or another, anywhere in a return. - A converter's
 * noise never stops. If noise moves almost every sample, a single constant run was held by the
 * recorder: a path that flattens does so in every half-wave. - Without noise, the waveform decides:
 * see {@link isOdd}.
 * @example
 * findHeldSpans(audio); // []
 */
export function findHeldSpans(audio: ReturnAudio): readonly HeldSpan[] {
  const { samples } = audio;
  const played = computePlayedSpan(audio);
  const restBits = -Math.log2(computeEqualShare(audio));
  const found: HeldSpan[] = [];
  // Of so many equal samples two neighbours lie on either side of a multiple of half as many.
  for (let n = played.first + 1; n < played.end; n += leastHeld / 2) {
    if (samples[n] !== samples[n - 1]) continue;
    let begin = n - 1;
    while (begin > 0 && samples[begin - 1] === samples[n]) begin--;
    let until = n + 1;
    while (until < samples.length && samples[until] === samples[n]) until++;
    n += (leastHeld / 2) * Math.floor((until - n) / (leastHeld / 2));
    // At full scale it is the converter that holds.
    if (until - begin < leastHeld || isAtClipLevel(samples[begin], audio)) continue;
    const run = { begin, end: until };
    if (isSure(audio, run, restBits) || isOdd(audio, run)) found.push(run);
  }
  return found;
}

/** Samples on either side used to count equal neighbours. */
const around = 1024;
/** Flat runs made by a path repeat twice per period of the signal, or of the mains. */
const leastPeriodS = 0.02;
/** A run of at least the length divided by this counts as similar. */
const ofItsKind = 4;

function isSure(audio: ReturnAudio, { begin, end }: HeldSpan, restBits: number): boolean {
  const length = end - begin;
  if (length < leastSure || length * restBits < leastBits) return false;
  const { samples } = audio;
  const share = Math.max(
    shareEqual(samples, begin - around, begin),
    shareEqual(samples, end + 1, end + around),
  );
  if (-length * Math.log2(share) < leastBits) return false;
  const period = playingAt(audio, begin)?.period ?? 0;
  const near = Math.ceil(Math.max(2 * period, 2 * leastPeriodS * audio.clock, 3 * length));
  const like = Math.max(leastHeld, length / ofItsKind);
  return !hasRun(samples, begin - near, begin, like) && !hasRun(samples, end, end + near, like);
}

function shareEqual(samples: Float64Array, from: number, until: number): number {
  let equal = 1;
  let counted = 1;
  for (let n = Math.max(1, from); n < Math.min(samples.length, until); n++) {
    if (samples[n] === samples[n - 1]) equal++;
    counted++;
  }
  return equal / counted;
}

/** Whether a range has this many equal samples in a row. */
function hasRun(samples: Float64Array, from: number, until: number, least: number): boolean {
  const stop = Math.min(samples.length, until);
  let begin = Math.max(0, from);
  for (let n = begin + 1; n < stop; n++) {
    if (samples[n] !== samples[begin]) begin = n;
    else if (n - begin + 1 >= least) return true;
  }
  return false;
}

/**
 * Whether a run is held, judging by the waveform: the signal is loud just before and after, and
 * either the run is longer than any clipping or dead zone of a desk (and a signal that a desk does
 * not pass begins and ends softly), or it {@link standsOut}.
 */
function isOdd(audio: ReturnAudio, { begin, end }: HeldSpan): boolean {
  const { samples, clock } = audio;
  const playing = playingAt(audio, begin);
  if (!playing?.isSettled) return false;
  const { kind, period } = playing;
  const run = end - begin;
  const short = clock / heldFromHz;
  if (kind === "sweep" && run < short) return false;
  const near = Math.ceil(kind === "sweep" ? Math.max(short, period) : period);
  const value = samples[begin];
  if (!isLively(samples, value, begin - near, begin)) return false;
  if (!isLively(samples, value, end, end + near)) return false;
  // In the low part of the sweep clipped half-waves vary in length from one to the next.
  const isSteady = kind === "tones" || period <= short;
  return (isSteady && run >= near) || standsOut(samples, begin, end, near);
}

/** The signal at a sample. */
interface Playing {
  readonly kind: "sweep" | "tones";
  /** Samples. */
  readonly period: number;
  /** Whether it is neither beginning nor ending. */
  readonly isSettled: boolean;
}

/** The signal at a sample; undefined in a marker, a silence or a gap. */
function playingAt({ table, origin, clock }: ReturnAudio, n: number): Playing | undefined {
  const signalS = (n - origin) / clock;
  const segment = table.segments.find(
    ({ startS, lengthS }) => signalS >= startS && signalS < startS + lengthS,
  );
  if (segment === undefined) return undefined;
  const atS = signalS - segment.startS;
  switch (segment.kind) {
    case "sweep": {
      const { fromHz, rateS, sweepS } = segment;
      const period = clock / (fromHz * Math.exp(atS / rateS));
      const beginS = Math.max(toneFlankS, rateS * sweepSettle);
      return { kind: "sweep", period, isSettled: atS > beginS && atS < sweepS - toneEndS };
    }
    case "twin":
      return tones(clock / (segment.highHz - segment.lowHz), atS, segment.lengthS);
    case "steps":
      return tones(clock / segment.frequencyHz, atS % segment.stepS, segment.stepS);
    case "tone":
      return tones(clock / segment.frequencyHz, atS, segment.lengthS);
    default:
      return undefined;
  }
}

function tones(period: number, atS: number, lengthS: number): Playing {
  return { kind: "tones", period, isSettled: atS > toneFlankS && atS < lengthS - toneEndS };
}

/** Share; a waveform with a value more often than this is flat there. */
const mostAtValue = 1 / 8;

/** Whether a range is loud somewhere, and rarely at a given value. */
function isLively(samples: Float64Array, value: number, from: number, to: number): boolean {
  let atValue = 0;
  let isLoud = false;
  for (let n = Math.max(0, from); n < Math.min(to, samples.length); n++) {
    if (samples[n] === value) atValue++;
    if (Math.abs(samples[n]) >= leastAmplitude) isLoud = true;
  }
  return isLoud && atValue <= mostAtValue * (to - from);
}

/** A held value this far from the waveform's middle and top is not a flat made by a desk. */
const offMiddle = 0.05;
const offTop = 0.9;
/**
 * A crest that is flat for lack of resolution is followed by one step of the quantiser, not this
 * many.
 */
const leastBreak = 3;
/** Ratio required of a step at the end of a run to any step nearby. */
const leastStep = 6;

/**
 * Whether a flat run is not part of the waveform: clipping is flat at the top, a dead zone in the
 * middle, and both end as smoothly as they began.
 *
 * @param near samples on either side that show the waveform, a period
 */
function standsOut(samples: Float64Array, begin: number, end: number, near: number): boolean {
  const value = samples[begin];
  const sign = value < 0 ? -1 : 1;
  let top = 0;
  let steepest = 0;
  for (let n = Math.max(1, begin - near); n < Math.min(samples.length, end + near); n++) {
    if (n >= begin && n <= end) continue;
    top = Math.max(top, sign * samples[n]);
    steepest = Math.max(steepest, Math.abs(samples[n] - samples[n - 1]));
  }
  const level = Math.abs(value) / top;
  if (level > offMiddle && level < offTop) {
    const left = Math.max(
      Math.abs(samples[begin - 1] - value),
      end < samples.length ? Math.abs(samples[end] - value) : 0,
    );
    return left > leastBreak * findSmallestStep(samples, begin - near, end + near);
  }
  return end < samples.length && Math.abs(samples[end] - value) > leastStep * steepest;
}
