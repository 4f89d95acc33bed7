import { median } from "../dsp/robust.js";
import type { Prediction } from "./cause-kind.js";
import type { PathEvidence } from "./path-evidence.js";
import type { ResponseDeviation } from "./response-deviation.js";

/** Points on either side with which a jump of the level is compared. */
const roughReach = 8;
const edgeReach = 4;

/**
 * An unsteady level varies by no more than its jumps, times this for what the median of few points
 * hides of them.
 */
const wanderInJumps = 1.5;

/**
 * A jumping level makes a rough response. A smooth response was not caused by it, however far off
 * it is; otherwise a jumping level would explain every shape.
 *
 * @example
 * const x = buildOctaveGrid(24, 20, 20_000);
 * const smooth = { response: { x, y: x.map((hz) => 3 * Math.log2(hz / 1000)) } };
 * limitWander(smooth, { moves: {}, wander: 6 }).wander < 1e-9; // true
 * limitWander({}, { moves: {}, wander: 6 }).wander; // 6
 */
export function limitWander(
  path: Pick<PathEvidence, "response">,
  prediction: Prediction,
): Prediction {
  const { wander } = prediction;
  const { response } = path;
  if (wander === undefined || !response) return prediction;
  const jumps = wanderInJumps * Math.max(...computeRoughness(response));
  return { ...prediction, wander: Math.min(wander, jumps) };
}

/**
 * How far each point is off the local slope of the curve, or, if more, how far the points before it
 * are off those after it, decibels: a filter is smooth.
 *
 * @example
 * const x = [100, 200, 400, 800, 1600, 3200, 6400];
 * // One point of seven lies 2 dB off the level of the others.
 * computeRoughness({ x, y: [0, 0, 0, 2, 0, 0, 0] }); // [0, 0, 0, 2, 0, 0, 0]
 */
export function computeRoughness({ x, y }: Pick<ResponseDeviation, "x" | "y">): readonly number[] {
  const octaves = x.map((hz) => Math.log2(hz));
  return y.map((db, i) => {
    const from = Math.max(0, i - roughReach);
    const until = Math.min(y.length, i + roughReach + 1);
    const steps: number[] = [];
    for (let k = from + 1; k < until; k++) {
      steps.push((y[k] - y[k - 1]) / (octaves[k] - octaves[k - 1]));
    }
    const slope = steps.length === 0 ? 0 : median(steps);
    const level: number[] = [];
    for (let k = from; k < until; k++) level.push(y[k] - slope * (octaves[k] - octaves[i]));
    const spike = Math.abs(db - median(level));
    const [before, behind] = [level.slice(0, i - from), level.slice(i - from + 1)].map((side, k) =>
      k === 0 ? side.slice(-edgeReach) : side.slice(0, edgeReach),
    );
    const whole = before.length === edgeReach && behind.length === edgeReach;
    return Math.max(spike, whole ? Math.abs(median(behind) - median(before)) : 0);
  });
}
