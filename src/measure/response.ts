import { amplitudeToDb, dbPerNeper } from "../dsp/decibels.js";
import { buildOctaveGrid } from "../dsp/octave-grid.js";
import { type Absent, isAbsent } from "./absence.js";
import type { ReturnContext } from "./return-context.js";
import { edgeShare, leastApartHz, nextIndependentHz } from "./roll-off.js";
import { computeResponse, computeResponseMethodDb } from "./sweep.js";
import type { SweepAnalysis } from "./sweep-answer.js";
import type { Curve } from "./types.js";

export const responseFromHz = 20;

/**
 * Highest frequency of the response for a signal's band.
 *
 * @example
 * const context = createReturnContext(audio);
 *
 * getResponseTopHz(context.sweep()); // 20000
 */
export function getResponseTopHz(answer: SweepAnalysis): number {
  return answer.sweep.toHz > 41_000 ? 40_000 : 20_000;
}

/**
 * The response: level against frequency at 1/24-octave points, decibels above that at 1 kHz,
 * unsmoothed.
 *
 * @returns the curve, or why there is none
 * @example
 * const context = createReturnContext(audio);
 *
 * const curve = computeResponseCurve(context);
 * // First-order high-pass of 100 Hz: −14.1 dB at 20 Hz against 1 kHz.
 * Math.abs(curve.y[0] + 14.1) < 0.2; // true
 */
export function computeResponseCurve(context: ReturnContext): Curve | Absent {
  const answer = context.sweep();
  if (isAbsent(answer)) return answer;
  return computeCurveAt(answer, buildOctaveGrid(24, responseFromHz, getResponseTopHz(answer)));
}

/**
 * The same below 20 Hz, as far down as the sweep has enough energy: also used for the lower corner,
 * and needed to remove an interface from it.
 *
 * @returns the curve, or why there is none
 * @example
 * const context = createReturnContext(audio);
 *
 * const curve = computeLowResponseCurve(context);
 * // From where the sweep of 5 Hz carries enough, below the band.
 * curve.x[0]; // 8
 * curve.x.every((hz) => hz < 20); // true
 */
export function computeLowResponseCurve(context: ReturnContext): Curve | Absent {
  const answer = context.sweep();
  if (isAbsent(answer)) return answer;
  const grid: number[] = [];
  const fromHz = edgeShare.low * answer.sweep.fromHz;
  for (let hz = fromHz; hz < responseFromHz - leastApartHz / 2; hz = nextIndependentHz(hz)) {
    grid.push(hz);
  }
  return computeCurveAt(answer, grid);
}

function computeCurveAt(answer: SweepAnalysis, grid: readonly number[]): Curve | Absent {
  const reference = computeResponse(answer, 1000);
  const referenceDb = computeResponseMethodDb(answer, 1000);
  const x: number[] = [];
  const y: number[] = [];
  const uncertainty: number[] = [];
  for (const hz of grid) {
    const point = computeResponse(answer, hz);
    const db = amplitudeToDb(point.magnitude / reference.magnitude);
    // Points are never left out: curves of a family are compared point by point.
    if (!Number.isFinite(db)) return { absent: { code: "sweep-gone" } };
    x.push(hz);
    y.push(db);
    const noise = Math.hypot(point.stdDev ?? 0, hz === 1000 ? 0 : (reference.stdDev ?? 0));
    // The gate's error at 1 kHz affects every point.
    const methodDb = Math.hypot(computeResponseMethodDb(answer, hz), referenceDb);
    uncertainty.push(Math.hypot(methodDb, 2 * dbPerNeper * noise));
  }
  return { x, y, uncertainty, xUnit: "Hz", yUnit: "dB" };
}
