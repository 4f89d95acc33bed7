import { dbPerNeper } from "../dsp/decibels.js";
import {
  computeGatePower,
  computeSpectrum,
  type GatedSpectrum,
  type SweepReference,
} from "../dsp/deconvolution.js";
import { computeDensityAround } from "../dsp/welch.js";
import type { SweepSegment } from "../signal/types.js";
import type { SweepAnalysis, SweepGate } from "./sweep-answer.js";

/** The response at one frequency. */
export interface ResponsePoint {
  /** Ratio of what came back to what was sent. */
  readonly magnitude: number;
  /** Radians, time zero at the marker. */
  readonly phase: number;
  /** Standard deviation of `magnitude`, relative; undefined when the noise is not known. */
  readonly stdDev: number | undefined;
}

/**
 * Gates of the impulse response by frequency: long enough for the corner of a coupling capacitor at
 * low frequency, short at high frequency so that little noise gets in. The part before time zero
 * stays clear of the second harmonic's response at −L·ln 2.
 *
 * @example
 * const { sweep } = createReturnContext(audio).sweep();
 *
 * const gates = buildSweepGates(sweep);
 * // They serve from the lowest frequency to the highest, each up to its own.
 * gates.every(({ toHz }, k) => k === 0 || toHz > gates[k - 1].toHz); // true
 */
export function buildSweepGates(
  sweep: SweepSegment,
): readonly { toHz: number; beforeS: number; afterS: number }[] {
  const clear = sweep.rateS * Math.LN2 * 0.6;
  return [
    { toHz: 250, beforeS: Math.min(0.12, clear), afterS: 1.0 },
    { toHz: 2500, beforeS: Math.min(0.03, clear), afterS: 0.25 },
    { toHz: Number.POSITIVE_INFINITY, beforeS: Math.min(0.01, clear), afterS: 0.06 },
  ];
}

/**
 * Reads the response at a frequency.
 *
 * The deviation is that of noise of density S (one-sided) through the gate: a complex value with
 * variance S·fs/2·Σw² over |X|², half of which lies along the magnitude. A mains line of amplitude
 * A and any phase contributes (A·|W|/2)² over |X|², W being the gate's transform at its distance.
 *
 * @param answer the response to the sweep
 * @param hz frequency, within the sweep's band
 * @example
 * const context = createReturnContext(audio);
 *
 * const answer = context.sweep();
 * // 100 Hz is half the power of 1 kHz, but for the hundredth that 1 kHz has lost.
 * const ratio = computeResponse(answer, 100).magnitude / computeResponse(answer, 1000).magnitude;
 * Math.abs(amplitudeToDb(ratio) + 2.97) < 0.1; // true
 */
export function computeResponse(answer: SweepAnalysis, hz: number): ResponsePoint {
  const gated = findGate(answer, hz);
  const raw = computeSpectrum(gated, hz);
  const shape = answer.shaping(hz);
  const scale = 1 / (shape.re ** 2 + shape.im ** 2);
  const re = (raw.re * shape.re + raw.im * shape.im) * scale;
  const im = (raw.im * shape.re - raw.re * shape.im) * scale;
  const magnitude = Math.hypot(re, im);
  const { reference, quiet, mainsRest } = answer;
  const noise = quiet?.spectrum ?? answer.noise;
  let stdDev: number | undefined;
  if (noise) {
    const bin = Math.round((hz * reference.size) / reference.sampleRate);
    const sent = reference.power[bin];
    const density = computeDensityAround(noise, hz, Math.max(8, hz / 12));
    const hiss = density * (reference.sampleRate / 2) * gated.noiseSamples;
    const variance = (hiss + mainsThrough(gated, reference, mainsRest, hz)) / sent;
    stdDev = Math.sqrt(variance / 2) / magnitude;
  }
  return { magnitude, phase: Math.atan2(im, re), stdDev };
}

/** Rounding and interpolation, decibels at 95 %. */
const leastMethodDb = 3e-5;
/** Near the sweep's end its fade-out causes ripple, increasing towards the end. */
const atEndDb = 2e-4;

/**
 * What gating and interpolation add to a point of the response, decibels at 95 %.
 *
 * A gate truncates ringing. With exponential decay, if a gate half as long misses a share D, the
 * whole one misses D².
 *
 * @example
 * const context = createReturnContext(audio);
 * computeResponseMethodDb(context.sweep(), 1000) < 0.05; // true
 */
export function computeResponseMethodDb(answer: SweepAnalysis, hz: number): number {
  const gated = findGate(answer, hz);
  const whole = computeSpectrum(gated, hz);
  const half = computeSpectrum(gated.half, hz);
  const power = whole.re ** 2 + whole.im ** 2;
  const missed = power > 0 ? ((whole.re - half.re) ** 2 + (whole.im - half.im) ** 2) / power : 0;
  return Math.hypot(
    leastMethodDb,
    atEndDb * (hz / answer.sweep.toHz) ** 4,
    cutOff * dbPerNeper * missed,
    overlapDb(answer, hz),
  );
}

/**
 * At the lowest frequencies the responses of harmonics 2 and 3, which are L·ln 2 and L·ln 3
 * earlier, reach into the gate. On polynomials after first-order high-passes, in all profiles: at
 * most this share of a harmonic times e^(−L·f/2), L·f being the slowness of the sweep there.
 */
const overlapShare = 0.8;
/** With a slower sweep it is negligible. */
const mostSlowness = 24;

function overlapDb(answer: SweepAnalysis, hz: number): number {
  const slowness = answer.sweep.rateS * hz;
  if (slowness > mostSlowness) return 0;
  let power = 0;
  for (const { order, points } of answer.harmonics) {
    // The lowest frequency at which they are read is used for all below.
    const lowest = points[0];
    if (order <= 3 && lowest) power += Math.max(0, lowest.power - lowest.noise);
  }
  const { magnitude } = computeResponse(answer, hz);
  const share = overlapShare * Math.exp(-slowness / 2);
  return (dbPerNeper * share * Math.sqrt(power)) / magnitude;
}

/** Flanks make a gate effectively slightly shorter. */
const cutOff = 3;

function findGate({ gates }: SweepAnalysis, hz: number): SweepGate {
  return gates.find((g) => hz <= g.toHz) ?? gates[gates.length - 1];
}

/** Power of the mains residue in a gated spectrum, before the sweep is divided out. */
function mainsThrough(
  { gate }: GatedSpectrum,
  { sampleRate }: SweepReference,
  mainsRest: SweepAnalysis["mainsRest"],
  hz: number,
): number {
  let sum = 0;
  for (const line of mainsRest) {
    if (line.power > 0) sum += line.power * computeGatePower(gate, line.hz - hz);
  }
  return (sum * sampleRate ** 2) / 4;
}
