import type { HarmonicGains } from "../dsp/transfer.js";
import { type Absent, isAbsent } from "./absence.js";
import { computeResponse } from "./sweep.js";
import type { SweepAnalysis } from "./sweep-answer.js";

/** A path's response at the harmonics of a tone. */
export interface PathFilter extends HarmonicGains {
  /** Variance of each phase, radians squared: the noise in the sweep. */
  readonly variances: Float64Array;
}

/**
 * Effect of a path's filters on the harmonics of a tone, from its response to the sweep. The phases
 * are unwrapped from harmonic to harmonic and begin at that of zero frequency, so that delay and
 * polarity do not matter when a share of the filter is used.
 *
 * @param hz frequency of the tone
 *
 * @param count number of harmonics, including the fundamental
 *
 * @returns undefined if the response is not known at all of them
 * @example
 * const context = createReturnContext(audio);
 *
 * const { logGains } = computePathFilter(context.sweep(), 1000, 3);
 * // First-order high-pass of 100 Hz: at 3 kHz 0.04 dB more than at 1 kHz.
 * (logGains[2] * 20 * Math.LOG10E).toFixed(2); // "0.04"
 */
export function computePathFilter(
  answer: SweepAnalysis | Absent,
  hz: number,
  count: number,
): PathFilter | undefined {
  if (isAbsent(answer) || count < 2 || count * hz > answer.sweep.toHz) return undefined;
  const points = Array.from({ length: count }, (_, k) => computeResponse(answer, (k + 1) * hz));
  if (points.some(({ magnitude }) => !(magnitude > 0))) return undefined;
  const phases = Float64Array.from(points, ({ phase }) => phase);
  for (let k = 1; k < count; k++) {
    phases[k] -= 2 * Math.PI * Math.round((phases[k] - phases[k - 1]) / (2 * Math.PI));
  }
  const start = Math.PI * Math.round((2 * phases[0] - phases[1]) / Math.PI);
  return {
    logGains: Float64Array.from(points, ({ magnitude }) =>
      Math.log(magnitude / points[0].magnitude),
    ),
    phases: phases.map((phase) => phase - start),
    variances: Float64Array.from(points, ({ stdDev = 0 }) => stdDev ** 2),
  };
}
