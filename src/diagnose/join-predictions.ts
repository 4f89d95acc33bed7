import type { DeviationRange, Prediction } from "./cause-kind.js";

/**
 * Two deviations add. A reading that one cause is certain to change stays changed, even if the
 * other may move it a little either way.
 */
function joinRanges(a: DeviationRange, b: DeviationRange): DeviationRange {
  const [low, high] = [a[0] + b[0], a[1] + b[1]];
  const [up, down] = [a[0] > 0 || b[0] > 0, a[1] < 0 || b[1] < 0];
  if (up === down) return [low, high];
  return up ? [Math.max(low, Number.MIN_VALUE), high] : [low, Math.min(high, -Number.MIN_VALUE)];
}

/**
 * What two causes predict together: their deviations and responses add.
 *
 * @example
 * const [quiet, hissing] = [{ gain: [-6, -5] }, { gain: [-1, 1], hiss: [3, 9] }];
 * const both = joinPredictions({ moves: quiet, fitted: 1 }, { moves: hissing, fitted: 2 });
 * both.moves.hiss; // [3, 9]
 * both.fitted; // 3
 */
export function joinPredictions(a: Prediction, b: Prediction): Prediction {
  const ids = new Set([...Object.keys(a.moves), ...Object.keys(b.moves)]);
  const of = ({ moves }: Prediction, id: string) =>
    (moves as Readonly<Record<string, DeviationRange>>)[id] ?? [0, 0];
  const moves = Object.fromEntries(
    [...ids].map((id) => [id, joinRanges(of(a, id), of(b, id))] as const),
  );
  const responses = [a.response, b.response].flatMap((one) => one ?? []);
  const wander = Math.max(a.wander ?? 0, b.wander ?? 0);
  return {
    moves,
    ...(responses.length > 0
      ? { response: (hz: number) => responses.reduce((sum, of) => sum + of(hz), 0) }
      : {}),
    ...(wander > 0 ? { wander } : {}),
    fitted: (a.fitted ?? 0) + (b.fitted ?? 0),
    sign: (a.sign ?? 0) + (b.sign ?? 0),
    evidence: [],
  };
}
