import { median } from "../dsp/robust.js";
import type { PredictedCause, Prediction } from "./cause-kind.js";
import { subtractPrediction } from "./likelihood.js";
import type { PathEvidence } from "./path-evidence.js";

/** The ends of the band, hertz. */
const endsHz = [
  [20, 60],
  [6000, 20_000],
] as const;
/** A shift of an end below this does not change a fit, decibels. */
const leastEndDb = 1;

/**
 * The path with its response relative to either end of the band. A bell at 1 kHz shifts everything
 * else, since every response is zero there: a second shape at one end only shows relative to the
 * other end.
 *
 * @returns one path for each end that is off by a decibel or more
 * @example
 * const response = { x: [20, 1000, 20_000], y: [-4, 0, 0.5], spread: [0.2, 0.2, 0.2] };
 * withoutEnds({ response }).map((one) => one.response.y); // [[0, 4, 4.5]]
 */
export function withoutEnds(path: PathEvidence): readonly PathEvidence[] {
  const { response } = path;
  if (!response) return [];
  return endsHz.flatMap(([fromHz, toHz]) => {
    const own = response.y.filter((_, i) => response.x[i] >= fromHz && response.x[i] <= toHz);
    const end = own.length === 0 ? 0 : median(own);
    if (Math.abs(end) < leastEndDb) return [];
    return [{ ...path, response: { ...response, y: response.y.map((db) => db - end) } }];
  });
}

/** Number of times that two shapes are fitted in turn, each to what the other leaves. */
const turns = 3;

/**
 * Two causes that both change the response, each fitted without the other's share.
 *
 * @param first what the one predicts alone, and `second` the other from what that leaves
 * @returns both as they were given, unless both change the response
 * @example
 * // Each takes half of what the other leaves of 8 dB.
 * const half = { predict: ({ response }) => ({ response: () => response.y[0] / 2, moves: {} }) };
 * const nothing = { response: () => 0, moves: {} };
 * const path = { features: new Map(), response: { x: [1000], y: [8], spread: [0.2] } };
 * const [a, b] = fitTogether(path, half, nothing, half, nothing);
 * [a.response(1000), b.response(1000)]; // [2.75, 2.625]
 */
export function fitTogether(
  path: PathEvidence,
  kind: Pick<PredictedCause, "predict">,
  first: Prediction,
  other: Pick<PredictedCause, "predict">,
  second: Prediction,
): readonly [Prediction, Prediction] {
  let [a, b] = [first, second];
  if (!a.response || !b.response) return [a, b];
  for (let turn = 0; turn < turns; turn++) {
    const again = kind.predict(subtractPrediction(path, b));
    if (!again) break;
    const rest = other.predict(subtractPrediction(path, again));
    if (!rest) break;
    [a, b] = [again, rest];
  }
  return [a, b];
}
