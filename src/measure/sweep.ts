import {
  computeGatePower,
  computeSpectrum,
  type GatedSpectrum,
  type SweepReference,
} from "../dsp/deconvolution.js";
import { computeDensityAround } from "../dsp/welch.js";
import type { SweepSegment } from "../signal/types.js";
import type { SweepAnalysis } from "./sweep-answer.js";

/** The response at one frequency. */
export interface ResponsePoint {
  /** Ratio of what came back to what was sent. */
  readonly magnitude: number;
  /** Radians, time zero at the marker. */
  readonly phase: number;
  /** Standard deviation of `magnitude`, relative; undefined when the noise is not known. */
  readonly deviation: number | undefined;
}

/**
 * How long a stretch of the impulse response is read, by frequency: long enough for the corner
 * of a coupling capacitor at low frequency, short at high frequency so that little noise gets
 * in. The stretch before time zero stays clear of the second harmonic's response at −L·ln 2.
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
 * variance S·fs/2·Σw² over |X|², half of which lies along the magnitude. A line of the mains, of
 * amplitude A and any phase, goes through it as (A·|W|/2)² over |X|², W being the gate's transform at
 * its distance.
 *
 * @param answer the sweep's answer
 * @param hz frequency, within the sweep's band
 */
export function computeResponse(answer: SweepAnalysis, hz: number): ResponsePoint {
  const gated = answer.gates.find((g) => hz <= g.toHz) ?? answer.gates[answer.gates.length - 1];
  const raw = computeSpectrum(gated, hz);
  const shape = answer.shaping(hz);
  const scale = 1 / (shape.re ** 2 + shape.im ** 2);
  const re = (raw.re * shape.re + raw.im * shape.im) * scale;
  const im = (raw.im * shape.re - raw.re * shape.im) * scale;
  const magnitude = Math.hypot(re, im);
  const { reference, quiet } = answer;
  const noise = quiet?.spectrum ?? answer.noise;
  let deviation: number | undefined;
  if (noise) {
    const bin = Math.round((hz * reference.size) / reference.sampleRate);
    const sent = reference.power[bin];
    const density = computeDensityAround(noise, hz, Math.max(8, hz / 12));
    const hiss = density * (reference.sampleRate / 2) * gated.noiseSamples;
    const variance = (hiss + linesThrough(gated, reference, quiet, hz)) / sent;
    deviation = Math.sqrt(variance / 2) / magnitude;
  }
  return { magnitude, phase: Math.atan2(im, re), deviation };
}

/** The short gate cuts off what a high-pass of some hertz still rings: decibels at 95 %. */
const longGateDb = 5e-5;
const shortGateDb = 1e-4;
/** Towards the sweep's end its fading ripples, the more the nearer. */
const atEndDb = 6e-4;

/**
 * What gating and interpolation add to a point of the response, decibels at 95 %. Seen on first-order
 * filters in closed form, their corners drawn anew: the worst of them stay within it.
 */
export function computeResponseMethodDb({ gates, sweep }: SweepAnalysis, hz: number): number {
  const isShort = hz > gates[gates.length - 2].toHz;
  if (!isShort) return longGateDb;
  return Math.hypot(shortGateDb, atEndDb * (hz / sweep.toHz) ** 4);
}

/** Power that the lines of the mains have in a gated spectrum, before the sweep is divided out. */
function linesThrough(
  { gate }: GatedSpectrum,
  { sampleRate }: SweepReference,
  quiet: SweepAnalysis["quiet"],
  hz: number,
): number {
  const lines = quiet?.lines;
  if (!lines) return 0;
  let sum = 0;
  lines.amplitudes.forEach((a, k) => {
    const power = Math.max(0, a * a - 2 * lines.variances[k]);
    if (power > 0) sum += power * computeGatePower(gate, (k + 1) * lines.frequencyHz - hz);
  });
  return (sum * sampleRate ** 2) / 4;
}
