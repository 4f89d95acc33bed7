import { findPhaseJumps, type PhaseTrack, trackPhase, wrapPhase } from "../../dsp/phase-track.js";
import { findRepeats } from "../../dsp/repeats.js";
import { fitTone } from "../../dsp/sine-fit.js";
import type { MarkerSegment } from "../../signal/types.js";
import { isAbsent } from "../absence.js";
import { computePlayedSpan, findSegment, type ReturnAudio, sliceSegment } from "../return-audio.js";
import { beforeSweepS, type ReturnContext } from "../return-context-types.js";
import { computeResponse } from "../sweep.js";
import { toneEndS, toneFlankS } from "../tone-edges.js";
import { computeEqualShare, maxEqualShare } from "./equal-share.js";
import { findHeldSpans } from "./held-spans.js";

/** Samples that the recorder lost, repeated or held within a return. */
export interface Dropout {
  /** Number lost or inserted; or the length of a run held, or repeated in place of others. */
  readonly samples: number;
  readonly what: "lost" | "repeated" | "held";
  /** Seconds of the signal between which it happened. */
  readonly fromS: number;
  readonly toS: number;
}

/** Seconds per block when following a tone's phase. */
const pieceS = 0.01;
/** Samples; a smaller shift is noise, since only whole samples are lost or repeated. */
const leastSamples = 0.5;
/** Samples; required closeness to a whole number. */
const wholeWithin = 0.25;
/** Seconds within which repeated blocks are searched; a marker's second chirp is later. */
const mostLagS = 0.14;

/**
 * Dropouts of the recording, as distinct from faults of the desk: no desk can shift a tone in time
 * permanently.
 *
 * - A jump of phase within a tone is one, at a known time. - The tones keep the player's clock.
 * If the markers are further apart, or closer, than by that clock, samples were lost or repeated
 * between them. If 1 kHz occurs several times (in the sweep, as a tone, as steps), its phase shows
 * between which two. - Noise never repeats exactly: a block that repeats bit for bit was repeated
 * by the recorder, in place of lost samples or in addition. - A conspicuous run of equal samples
 * was held by the recorder.
 *
 * @example
 * const context = createReturnContext(audio);
 * findDropouts(context); // []
 */
export function findDropouts(context: ReturnContext): readonly Dropout[] {
  const { audio } = context;
  const exact = [...heldSamples(audio), ...repeatsIn(audio)];
  const jumps = tones(audio)
    .flatMap((tone) => jumpsIn(audio, tone))
    .filter(({ fromS, toS }) => exact.every((e) => toS < e.fromS || fromS > e.toS));
  const within = [...exact, ...jumps];
  if (within.length > 0) return within.sort((a, b) => a.fromS - b.fromS);
  const between = slipBetween(context);
  return between ? [between] : [];
}

function heldSamples(audio: ReturnAudio): readonly Dropout[] {
  return findHeldSpans(audio).map(({ begin, end }) => stretch(audio, "held", begin, end));
}

/** Repeated blocks. Without noise, repeated signals give exact repeats, so nothing is concluded. */
function repeatsIn(audio: ReturnAudio): readonly Dropout[] {
  if (computeEqualShare(audio) >= maxEqualShare) return [];
  const { samples, clock } = audio;
  const { first, end } = computePlayedSpan(audio);
  const repeats = findRepeats(samples.subarray(first, end), Math.floor(mostLagS * clock));
  return repeats.map(({ at, length }) =>
    stretch(audio, "repeated", first + at, first + at + length),
  );
}

function stretch(
  { origin, clock }: ReturnAudio,
  what: Dropout["what"],
  begin: number,
  end: number,
): Dropout {
  const [fromS, toS] = [(begin - origin) / clock, (end - origin) / clock];
  return { samples: end - begin, what, fromS, toS };
}

interface Tone {
  readonly startS: number;
  readonly lengthS: number;
  readonly frequencyHz: number;
}

function tones({ table }: ReturnAudio): readonly Tone[] {
  return table.segments.flatMap((s) => (s.kind === "tone" && s.frequencyHz >= 1000 ? [s] : []));
}

function jumpsIn(audio: ReturnAudio, { startS, lengthS, frequencyHz }: Tone): readonly Dropout[] {
  const part = sliceSegment(audio, startS, toneFlankS, lengthS - toneEndS);
  if (!part) return [];
  const frequency = frequencyHz / audio.clock;
  const radPerSample = 2 * Math.PI * frequency;
  const track = trackPhase(part.samples, frequency, Math.round(pieceS * audio.clock));
  if (!holdsTone(part.samples, track)) return [];
  const { slope, jumps } = findPhaseJumps(track, leastSamples * radPerSample);
  // The phase gives a jump except for whole periods; the slope of the clock gives all of it.
  const [start, end] = markersOf(audio);
  const all = (slope / radPerSample / track.step) * (end.startS - start.startS) * audio.clock;
  return jumps.flatMap(({ at, radians, stdDev }): readonly Dropout[] => {
    const shown = -radians / radPerSample;
    const likely =
      jumps.length === 1 && Math.abs(wrapPhase((all - shown) * radPerSample)) < sameRad;
    const samples = Math.round(likely ? all : shown);
    // A disturbance in the desk does not shift by a whole number of samples other than 0.
    const slack = Math.max(wholeWithin, (2 * stdDev) / radPerSample);
    if (samples === 0 || (!likely && Math.abs(shown - samples) > slack)) return [];
    const atS = startS + part.startS + at / audio.clock;
    return [
      {
        samples: Math.abs(samples),
        what: samples < 0 ? "lost" : "repeated",
        fromS: atS - pieceS,
        toS: atS + pieceS,
      },
    ];
  });
}

/** A path that suppresses the fundamental leaves less than this share, and no usable phase. */
const leastShare = 0.05;

function holdsTone(samples: Float64Array, { amplitudes }: PhaseTrack): boolean {
  let sum = 0;
  for (let n = 0; n < samples.length; n++) sum += samples[n] * samples[n];
  const middle = amplitudes.slice().sort()[amplitudes.length >> 1];
  return middle > leastShare * Math.sqrt(sum / samples.length);
}

/** Radians of the tone; two estimates of a jump agree within this. */
const sameRad = 0.15;

function markersOf({ table }: ReturnAudio): readonly [MarkerSegment, MarkerSegment] {
  const [start, end] = table.segments.filter((s): s is MarkerSegment => s.kind === "marker");
  return [start, end];
}

/** Difference between the markers' clock and the tone's, as whole samples over the return. */
function slipBetween(context: ReturnContext): Dropout | undefined {
  const { audio } = context;
  const tone = context.tone("tone-1k");
  const sent = findSegment(audio.table, "tone", "tone-1k");
  if (isAbsent(tone) || !sent) return undefined;
  const [start, end] = markersOf(audio);
  const spanS = end.startS - start.startS;
  const excess = tone.frequencyHz / sent.frequencyHz - 1;
  const slip = excess * spanS * audio.clock;
  const whole = Math.round(slip);
  // Cramér–Rao bound of the tone's frequency: 3S/(π²A²T³), with S/T the amplitude's variance.
  const seconds = tone.residual.length / audio.clock;
  const relative = Math.sqrt(
    (3 * tone.variances[0]) / (Math.PI * tone.amplitudes[0] * seconds) ** 2,
  );
  const stdDev = (relative / sent.frequencyHz) * spanS * audio.clock;
  if (whole === 0 || Math.abs(slip - whole) > wholeWithin || stdDev > wholeWithin / 3) {
    return undefined;
  }
  if (!isSteady(audio, sent, (hz) => (hz / sent.frequencyHz - 1) * spanS * audio.clock - whole)) {
    return undefined;
  }
  const place = placeOf(context, slip / spanS, whole, start, end);
  if (place === undefined) return undefined;
  return { samples: Math.abs(whole), what: whole < 0 ? "lost" : "repeated", ...place };
}

/** Samples; an interfering tone cannot imitate a larger slip. */
const mostFeigned = 16;
/** Samples; the delay of 1 kHz must agree with the slip within this. */
const heardWithin = 0.3;

/** Number of parts of the tone that must agree, and their tolerance in samples. */
const steadyParts = 3;
const steadyWithin = 0.6;

/**
 * Whether the tone kept a constant frequency. A clock does; an interfering tone nearby, or a
 * reverberation tail, shifts its phase slightly, which only looks like a clock on average.
 *
 * @param off samples by which a frequency in hertz misses the slip
 */
function isSteady(audio: ReturnAudio, tone: Tone, off: (hz: number) => number): boolean {
  const { startS, lengthS, frequencyHz } = tone;
  const part = sliceSegment(audio, startS, toneFlankS, lengthS - toneEndS);
  if (!part) return false;
  const { samples } = part;
  const length = Math.floor(samples.length / steadyParts);
  for (let k = 0; k < steadyParts; k++) {
    const stretch = samples.subarray(k * length, (k + 1) * length);
    const { frequency } = fitTone(stretch, frequencyHz / audio.clock, 1);
    if (Math.abs(off(frequency * audio.clock)) > steadyWithin) return false;
  }
  return true;
}

/** An occurrence of 1 kHz: its delay in samples, by the markers' clock. */
interface Heard {
  readonly atS: number;
  readonly delay: number;
}

/**
 * The two occurrences of 1 kHz between which a slip happened; undefined if these contradict a small
 * one, or if it is a single sample without other evidence.
 */
function placeOf(
  context: ReturnContext,
  perSecond: number,
  slip: number,
  start: MarkerSegment,
  end: MarkerSegment,
): { fromS: number; toS: number } | undefined {
  const { clock } = context.audio;
  const period = clock / 1000;
  const heard = heard1k(context).map(({ atS, delay }) => ({
    atS,
    // Without the slope that the slip causes in the markers' clock.
    delay: delay + perSecond * (atS - start.startS),
  }));
  const off = (samples: number) => Math.abs(wrapPhase((2 * Math.PI * samples) / period));
  const near = (2 * Math.PI * leastSamples) / period;
  const moves = heard.slice(1).map(({ delay }, k) => delay - heard[k].delay);
  const most = (2 * Math.PI * heardWithin) / period;
  // A slip shifts the delay abruptly and completely; an interfering tone does not.
  const fits = moves.every((moved) => Math.min(off(moved), off(moved - slip)) < most);
  if (Math.abs(slip) <= mostFeigned && !fits) return undefined;
  // A slip of whole periods does not change the phase.
  if (off(slip) > 2 * near) {
    const k = moves.findIndex((moved) => off(moved - slip) < near);
    if (k >= 0) return { fromS: heard[k].atS, toS: heard[k + 1].atS };
  }
  if (Math.abs(slip) <= 1) return undefined;
  return { fromS: start.startS, toS: end.startS + end.lengthS };
}

function heard1k(context: ReturnContext): readonly Heard[] {
  const { audio } = context;
  const list: Heard[] = [];
  const sweep = context.sweep();
  if (!isAbsent(sweep)) {
    const { startS, rateS, fromHz, lengthS } = sweep.sweep;
    const part = sliceSegment(audio, startS, -beforeSweepS, lengthS);
    const late = part ? (part.startS + beforeSweepS) * audio.clock : 0;
    const phase = computeResponse(sweep, 1000).phase;
    list.push({
      atS: startS + rateS * Math.log(1000 / fromHz),
      delay: late - (phase * audio.clock) / (2 * Math.PI * 1000),
    });
  }
  for (const segment of audio.table.segments) {
    if (segment.kind === "tone" && segment.frequencyHz === 1000) {
      list.push(...delayOf(audio, segment.startS, segment.lengthS));
    }
    if (segment.kind === "steps" && segment.frequencyHz === 1000) {
      segment.levelsDbfs.forEach((level, k) => {
        if (level < audio.table.nominalDbfs) return;
        list.push(...delayOf(audio, segment.startS + k * segment.stepS, segment.stepS));
      });
    }
  }
  return list.sort((a, b) => a.atS - b.atS);
}

/** Delay of a 1 kHz tone relative to the markers' clock, at its middle. */
function delayOf(audio: ReturnAudio, startS: number, lengthS: number): readonly Heard[] {
  const part = sliceSegment(audio, startS, 2 * toneFlankS, lengthS - toneEndS);
  if (!part) return [];
  const { clock } = audio;
  const { phases } = trackPhase(part.samples, 1000 / clock, part.samples.length);
  // Sent as a sine that begins with the segment; the track counts from the part's first sample.
  const sent = 2 * Math.PI * ((1000 * part.startS) % 1) - Math.PI / 2;
  const delay = (-wrapPhase(phases[0] - sent) * clock) / (2 * Math.PI * 1000);
  return [{ atS: startS + part.startS + part.samples.length / clock / 2, delay }];
}
