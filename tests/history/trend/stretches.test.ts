import { expect, it } from "vitest";
import { lastStretch, standsStill, withEpochsOf } from "../../../src/history/trend/stretches.js";

/** Points of rounds one after the other, by their heights and epochs. */
const points = (y: readonly number[], epochs: readonly number[] = []) =>
  y.map((own, round) => ({ round, years: round, y: own, epoch: epochs[round] ?? 0 }));

it("the last stretch is all of the last point's epoch", () => {
  const all = points([1, 2, 3, 4], [0, 0, 1, 1]);
  expect(lastStretch(all)).toEqual(all.slice(2));
  expect(lastStretch(points([1, 2]))).toEqual(points([1, 2]));
  expect(lastStretch([])).toEqual([]);
});

it("what moves by six thousandths of a neper in all stands still", () => {
  expect(standsStill(points([0.006, 0.003, 0]))).toBe(true);
  expect(standsStill(points([0, 0.003, 0.0061]))).toBe(false);
  expect(standsStill(points([3, 3.004, 3.002]))).toBe(true);
  expect(standsStill(points([3.01, 3, 3.002]))).toBe(false);
});

it("stretches of a path have the readings and the epochs that the rounds had", () => {
  // Parted again after the first round: counted from the last stretch back, so that borders of either
  // kind part them.
  const read = points([1, 2, 3, 4], [0, 0, 1, 1]);
  const parted = points([9, 9, 9, 9], [0, 1, 2, 2]);
  expect(withEpochsOf(read, parted)).toEqual(points([1, 2, 3, 4], [-2, -1, 1, 1]));
  // A round that was left out.
  expect(withEpochsOf(read, parted.slice(1))).toEqual(
    points([1, 2, 3, 4], [-2, -1, 1, 1]).slice(1),
  );
  expect(withEpochsOf(read, [])).toEqual([]);
});
