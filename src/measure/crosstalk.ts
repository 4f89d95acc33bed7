import { amplitudeToDb, powerToDb } from "../dsp/decibels.js";
import { buildOctaveGrid } from "../dsp/octave-grid.js";
import { computeUpperPower } from "./above-noise.js";
import { type Absent, isAbsent } from "./absence.js";
import { boundDb } from "./is-bound.js";
import { getResponseTopHz, responseFromHz } from "./response.js";
import { createReturnContext, type ReturnContext } from "./return-context.js";
import { computeResponse } from "./sweep.js";
import type { SweepAnalysis } from "./sweep-answer.js";
import type { Curve } from "./types.js";

/** A channel recorded with a path but not driven. */
export interface UndrivenChannel {
  /** From 0. */
  readonly channel: number;
  /** Simultaneous with the path's return, sample by sample. */
  readonly samples: Float64Array;
  /** Set if some of them replace samples that were NaN or infinite. */
  readonly isBad?: true;
}

/** Points per octave: crosstalk from stray capacitance and shared impedance is smooth. */
const perOctave = 3;
/** Standard deviations above noise from which a power is an estimate, not a bound. */
const clearDeviations = 3;
/** What gating and interpolation of two responses add, decibels at 95 %. */
const methodDb = 0.003;

const digitalZero: Absent = { absent: { code: "digital-zero", of: "undriven" } };

/**
 * Crosstalk onto a channel that was not driven: its response to the sweep relative to that of the
 * driven channel, at third-octave points, decibels, both as recorded. Noise is subtracted as power;
 * if the response is not clear of it, the point is an upper bound (95 %), and `floor` is the value
 * for noise alone.
 *
 * @param driven the path's return
 * @returns the curve, or why there is none
 * @example
 * const context = createReturnContext(audio);
 *
 * // A channel that hears the path a thousandth as loud: −60 dB everywhere.
 * const samples = audio.samples.map((x) => x / 1000);
 * const curve = computeCrosstalkCurve(context, { channel: 1, samples });
 * curve.y.every((db) => Math.abs(db + 60) < 0.01); // true
 */
export function computeCrosstalkCurve(
  driven: ReturnContext,
  { samples, isBad }: UndrivenChannel,
): Curve | Absent {
  if (isBad) return { absent: { code: "undriven-invalid" } };
  const { partner: _, ...audio } = driven.audio;
  const main = driven.sweep();
  if (isAbsent(main)) return main;
  const other = createReturnContext({ ...audio, samples }).sweep();
  if (isAbsent(other)) return { absent: { code: "of-undriven", because: other.absent } };
  return computeCrosstalkBetween(main, other);
}

/**
 * The same from both responses to the sweep.
 *
 * @param driven of the path's return
 * @param undriven of the channel beside it, at the same times
 * @returns the curve, or why there is none
 * @example
 * const answer = createReturnContext(audio).sweep();
 *
 * // A channel that hears all of the path.
 * const curve = computeCrosstalkBetween(answer, answer);
 * curve.y.every((db) => Math.abs(db) < 0.01); // true
 */
export function computeCrosstalkBetween(
  driven: SweepAnalysis,
  undriven: SweepAnalysis,
): Curve | Absent {
  const x = buildOctaveGrid(perOctave, responseFromHz, getResponseTopHz(driven));
  const y: number[] = [];
  const uncertainty: number[] = [];
  const floor: number[] = [];
  for (const hz of x) {
    const sent = computeResponse(driven, hz);
    const heard = computeResponse(undriven, hz);
    if (heard.stdDev === undefined) return { absent: { code: "noise-unknown", of: "crosstalk" } };
    // Each quadrature has this deviation, so noise alone gives twice its square.
    const noise = (heard.stdDev * heard.magnitude) ** 2;
    const power = heard.magnitude ** 2 - 2 * noise;
    const stdDev = 2 * Math.sqrt(Math.max(0, power) * noise + noise * noise);
    const clear = power > clearDeviations * stdDev;
    const shown = clear ? power : computeUpperPower(power, noise, 4 * noise * noise);
    const db = amplitudeToDb(Math.sqrt(shown) / sent.magnitude);
    if (!Number.isFinite(db) || noise === 0) return digitalZero;
    y.push(db);
    const noiseDb = clear ? -powerToDb(1 - (2 * stdDev) / power) : boundDb;
    uncertainty.push(Math.hypot(methodDb, noiseDb));
    floor.push(amplitudeToDb(Math.sqrt(2 * noise) / sent.magnitude));
  }
  return { x, y, uncertainty, xUnit: "Hz", yUnit: "dB", floor };
}

/**
 * The worst of several channels at each frequency.
 *
 * @example
 * const of = (y) => ({ x: [100, 1000], y, uncertainty: [1, 1], floor: [-120, -120], xUnit: "Hz", yUnit: "dB" });
 * findWorstCrosstalk([of([-60, -90]), of([-80, -70])]).y; // [-60, -70]
 */
export function findWorstCrosstalk(curves: readonly Curve[]): Curve {
  const [first] = curves;
  const worst = first.x.map((_, i) => curves.reduce((a, b) => (b.y[i] > a.y[i] ? b : a)));
  return {
    ...first,
    y: worst.map(({ y }, i) => y[i]),
    uncertainty: worst.map((curve, i) => curve.uncertainty[i]),
    floor: worst.map(({ floor }, i) => floor?.[i] ?? 0),
  };
}
