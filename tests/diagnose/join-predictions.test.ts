import { expect, it, test } from "vitest";
import type { Prediction } from "../../src/diagnose/cause-kind.js";
import { joinPredictions } from "../../src/diagnose/join-predictions.js";

// Deviations of two causes add; what one of them moves for certain stays on its side of nought.

const of = (more: Partial<Prediction>): Prediction => ({ moves: {}, evidence: [], ...more });
const tiny = Number.MIN_VALUE;

test.each([
  [
    [1, 2],
    [2, 3],
    [3, 5],
  ],
  [
    [-5, -4],
    [-1, -1],
    [-6, -5],
  ],
  [
    [0, 2],
    [0, 3],
    [0, 5],
  ],
  [
    [-1, 0],
    [-2, 0],
    [-3, 0],
  ],
  [
    [-1, 2],
    [-2, 1],
    [-3, 3],
  ],
  [
    [1, 2],
    [-3, 1],
    [tiny, 3],
  ],
  [
    [-2, -1],
    [-1, 3],
    [-3, -tiny],
  ],
  // One up and one down for certain: together they may do nothing.
  [
    [1, 2],
    [-2, -1],
    [-1, 1],
  ],
] as const)("%j and %j are %j together", (a, b, together) => {
  const join = (first: typeof a | typeof b, second: typeof a | typeof b) =>
    joinPredictions(of({ moves: { gain: first } }), of({ moves: { gain: second } })).moves.gain;
  expect(join(a, b)).toEqual(together);
  expect(join(b, a)).toEqual(together);
});

it("what only one of them moves is as that leaves it", () => {
  expect(
    joinPredictions(of({ moves: { gain: [-3, -2] } }), of({ moves: { hiss: [1, 9] } })).moves,
  ).toEqual({ gain: [-3, -2], hiss: [1, 9] });
});

it("responses, figures fitted and signs add; the wider wander counts", () => {
  const [a, b] = [
    of({ response: (hz) => hz / 1000, wander: 2, fitted: 1, sign: 5 }),
    of({ response: () => -3, wander: 7, fitted: 2, sign: -1 }),
  ];
  const { response, ...rest } = joinPredictions(a, b);
  expect(response?.(1000)).toBe(-2);
  expect(rest).toEqual({ moves: {}, wander: 7, fitted: 3, sign: 4, evidence: [] });
  expect(joinPredictions(b, of({})).response?.(1)).toBe(-3);
  expect(joinPredictions(of({}), b)).toMatchObject({ wander: 7, fitted: 2, sign: -1 });
});

it("two that bend nothing have no response and no wander", () => {
  expect(joinPredictions(of({}), of({}))).toStrictEqual({
    moves: {},
    fitted: 0,
    sign: 0,
    evidence: [],
  });
});
