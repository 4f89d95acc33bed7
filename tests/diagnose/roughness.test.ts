import { expect, it } from "vitest";
import { computeRoughness, limitWander } from "../../src/diagnose/roughness.js";

// By hand: a curve of no slope whose level steps by 2 dB. A point is held against the middle of the eight
// to either side, and the four before it against the four behind it.

const curve = (y: readonly number[], slope = 0) => {
  const x = y.map((_, k) => 100 * 2 ** (k / 4));
  return { x, y: y.map((db, k) => db + (slope * k) / 4) };
};
const step = (at: number, n = 24) => Array.from({ length: n }, (_, k) => (k < at ? 0 : 2));
const rough = (...own: Parameters<typeof curve>) =>
  computeRoughness(curve(...own)).map((db) => Math.round(db * 1e9) / 1e9);
const zeros = (n: number) => Array.from({ length: n }, () => 0);

it("a straight line is smooth, whatever its slope", () => {
  expect(rough(zeros(24))).toEqual(zeros(24));
  expect(rough(zeros(24), -6)).toEqual(zeros(24));
  expect(rough([5])).toEqual([0]);
});

it("a step shows in the points about it", () => {
  const expected = [...zeros(9), 1, 2, 2, 2, 2, 1, ...zeros(9)];
  expect(rough(step(12))).toEqual(expected);
  expect(rough(step(12), 3)).toEqual(expected);
  expect(rough(step(12).map((db) => -db))).toEqual(expected);
});

it("near an end a point is held against its middle alone", () => {
  const expected = [2, 2, 2, 0, 2, 1, ...zeros(18)];
  expect(rough(step(3))).toEqual(expected);
  expect(rough(step(3).toReversed())).toEqual(expected.toReversed());
});

it("one point off is as rough as it lies off", () => {
  const spike = zeros(24).map((db, k) => (k === 12 ? -3 : db));
  expect(rough(spike)).toEqual(zeros(24).map((db, k) => (k === 12 ? 3 : db)));
});

it("a level wanders by one and a half times its roughness at most", () => {
  const response = { ...curve(step(12)), spread: [], uncertainty: [] };
  const of = (wander: number) =>
    limitWander({ response }, { moves: {}, evidence: [], wander }).wander;
  expect([of(6), of(1)]).toEqual([3, 1]);
  const still = { moves: {}, evidence: [] };
  expect(limitWander({ response }, still)).toBe(still);
  const wandering = { ...still, wander: 6 };
  expect(limitWander({ response: undefined }, wandering)).toBe(wandering);
  expect(limitWander({ response }, { ...wandering, fitted: 2 })).toEqual({
    ...still,
    wander: 3,
    fitted: 2,
  });
});
