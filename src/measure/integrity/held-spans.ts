import { findSmallestStep } from "../../dsp/smallest-step.js";
import { computePlayedSpan, isAtClipLevel, type ReturnAudio } from "../return-audio.js";
import { toneEndS, toneFlankS } from "../tone-edges.js";
import { computeEqualShare } from "./equal-share.js";

/** A stretch of equal samples that only the recorder can have made. */
export interface HeldSpan {
  /** Index of its first sample, and of the first after it. */
  readonly begin: number;
  readonly end: number;
}

/** At the sweep's beginning, natural logarithm of frequency: half an octave. */
const sweepSettle = Math.LN2 / 2;
/** Samples that keep one value for so long are looked at. */
const leastHeld = 16;
/** Shortest run that the noise alone proves, seconds. */
const leastSure = 48;
/**
 * How unlikely a run of equal samples must be by chance, bits: an hour at 96 kHz has 2^29 places.
 */
const leastBits = 50;
/** Below this amplitude a coarse quantiser may hold a value on its own. */
const leastAmplitude = 0.003;
/** Above this a stretch of the sweep is recognised by its length alone, hertz. */
const heldFromHz = 1000;

/**
 * Stretches that the recorder held at one value, zero or another, anywhere in a return. - A
 * converter's noise never stops. Where the return has noise that moves almost every sample, a
 * stretch that stands still is the recorder's, alone as it stands: what a path makes flat comes
 * with every half-wave. - Where there is no noise to go by, the waveform tells: see {@link isOdd}.
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

/** Samples on either side that show how often neighbours are equal. */
const around = 1024;
/** A path's own flat stretches come twice in a period of what is played, or of the mains. */
const leastPeriodS = 0.02;
/** A run of at least the stretch's length divided by this counts as similar. */
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

/** Whether a stretch holds this many equal samples in a row. */
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
 * Whether a stretch is held, by its waveform: what was played is loud just before and just after,
 * and either it lasts so long that no clipping and no dead zone of a desk does (and what a desk does
 * not pass at all begins and ends softly), or it {@link standsOut}.
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
  // In the low part of the sweep a clipped half-wave grows and shrinks from one to the next.
  const isSteady = kind === "tones" || period <= short;
  return (isSteady && run >= near) || standsOut(samples, begin, end, near);
}

/** What plays at a sample. */
interface Playing {
  readonly kind: "sweep" | "tones";
  /** Samples. */
  readonly period: number;
  /** Neither beginning nor ending. */
  readonly isSettled: boolean;
}

/** What plays at a sample; undefined in a marker, a silence or a gap. */
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

/** A waveform that takes a value more often than this has a flat there. */
const mostAtValue = 1 / 8;

/** Whether a stretch is loud somewhere, and hardly ever at a value. */
function isLively(samples: Float64Array, value: number, from: number, to: number): boolean {
  let atValue = 0;
  let isLoud = false;
  for (let n = Math.max(0, from); n < Math.min(to, samples.length); n++) {
    if (samples[n] === value) atValue++;
    if (Math.abs(samples[n]) >= leastAmplitude) isLoud = true;
  }
  return isLoud && atValue <= mostAtValue * (to - from);
}

/** A held value this far from the waveform's middle and from its top is neither of a desk's flats. */
const offMiddle = 0.05;
const offTop = 0.9;
/**
 * After a crest that is flat for lack of resolution comes one step of the quantiser, not this many.
 */
const leastBreak = 3;
/** A step at the end of a stretch must be this many times as high as any nearby. */
const leastStep = 6;

/**
 * Whether a flat stretch is not part of a waveform: a clipped one is flat at its top, one with a
 * dead zone in its middle, and both leave it as smoothly as they came.
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
