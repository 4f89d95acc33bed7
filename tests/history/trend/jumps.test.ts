import { describe, expect, it } from "vitest";
import { type Continues, splitAtJumps } from "../../../src/history/trend/jumps.js";
import type { Series } from "../../../src/history/trend/series.js";
import { path } from "../rounds-of.js";

// Expected: worked by hand. A step counts beyond the path's own median yearly step, and against seven
// times the Qn of all siblings' steps.

const series = (ys: readonly number[], epochs: readonly number[] = []): Series => ({
  path: path("1/mic"),
  points: ys.map((y, k) => ({ round: k, years: k - ys.length + 1, y, epoch: epochs[k] ?? 0 })),
});
const split = (least: number, ...all: readonly (readonly number[])[]) =>
  splitAtJumps(
    all.map((ys) => series(ys)),
    least,
  );

describe("splitAtJumps", () => {
  it("leaves a steady series whole", () => {
    const [one] = split(0.5, [0, 1, 2, 3, 4]);
    expect(one).toMatchObject({ jumps: [], leftOut: [] });
    expect(one.points.map(({ epoch }) => epoch)).toEqual([0, 0, 0, 0, 0]);
  });

  it("begins a new epoch at a jump, with what the years account for", () => {
    const [one] = split(0.5, [0, 1, 2, 13, 14, 15]);
    expect(one.jumps).toEqual([{ round: 3, y: 13, expected: 3 }]);
    expect(one.leftOut).toEqual([]);
    expect(one.points.map(({ epoch }) => epoch)).toEqual([0, 0, 0, 1000, 1000, 1000]);
    const [down] = split(0.5, [0, -1, -2, -13, -14, -15]);
    expect(down.jumps).toEqual([{ round: 3, y: -13, expected: -3 }]);
  });

  it("takes no step for a jump that is not above the least", () => {
    expect(split(10, [0, 1, 2, 13, 14, 15])[0].jumps).toEqual([]);
    expect(split(9.9, [0, 1, 2, 13, 14, 15])[0].jumps).toHaveLength(1);
  });

  it("leaves out a point from which the series comes straight back", () => {
    const [one] = split(0.5, [0, 1, 2, 13, 4, 5, 6]);
    expect(one).toMatchObject({ jumps: [], leftOut: [3] });
    expect(one.points.map(({ round }) => round)).toEqual([0, 1, 2, 4, 5, 6]);
    expect(one.points.map(({ epoch }) => epoch)).toEqual([0, 0, 0, 0, 0, 0]);
  });

  it("takes a step back that leads elsewhere for a second jump", () => {
    // Up by 10 beyond the years, then down by 4.
    const [one] = split(0.5, [0, 1, 2, 13, 10, 11, 12]);
    expect(one.leftOut).toEqual([]);
    expect(one.jumps.map(({ round }) => round)).toEqual([3, 4]);
    expect(one.points.map(({ epoch }) => epoch)).toEqual([0, 0, 0, 1000, 2000, 2000, 2000]);
  });

  it("takes two steps the same way for two jumps", () => {
    const [one] = split(0.5, [0, 1, 2, 13, 24, 25, 26]);
    expect(one.jumps.map(({ round }) => round)).toEqual([3, 4]);
    expect(one.leftOut).toEqual([]);
  });

  it("judges by the siblings' steps", () => {
    // Siblings whose steps scatter by about 3: seven times that is far more than 4.
    const scattering = (size: number) =>
      [
        [0, 1, -0.3, 0.8, -0.6, 0.4],
        [0, -0.9, 0.5, -1.1, 0.2, -0.7],
        [0, 1.2, 0.1, 1.4, -0.2, 0.7],
      ].map((ys) => ys.map((y) => size * y));
    expect(split(0.5, [0, 0, 0, 4, 4, 4], ...scattering(3))[0].jumps).toEqual([]);
    expect(split(0.5, [0, 0, 0, 4, 4, 4], ...scattering(0.1))[0].jumps).toHaveLength(1);
  });

  it("looks across no border between epochs of the desk", () => {
    const [one] = splitAtJumps([series([0, 1, 2, 53, 54, 55], [0, 0, 0, 1, 1, 1])], 0.5);
    expect(one.jumps).toEqual([]);
    expect(one.points.map(({ epoch }) => epoch)).toEqual([0, 0, 0, 1, 1, 1]);
  });

  it("counts steps by the year", () => {
    // One a year, with a gap of three years: no jump.
    const ys = [0, 1, 2, 5, 6, 7];
    const years = [-7, -6, -5, -2, -1, 0];
    const points = ys.map((y, k) => ({ round: k, years: years[k], y, epoch: 0 }));
    expect(splitAtJumps([{ path: path("1/mic"), points }], 0.5)[0].jumps).toEqual([]);
  });
});

describe("a step that comes back", () => {
  const split = (ys: readonly number[], epochs?: readonly number[], years?: readonly number[]) => {
    const { path: of, points } = series(ys, epochs);
    const dated = points.map((point, k) => ({ ...point, years: years?.[k] ?? point.years }));
    return splitAtJumps([{ path: of, points: dated }], 0.5)[0];
  };

  it("comes back in the very next round, or it is two", () => {
    // Up by 10 beyond the years, two rounds there, and down by 10.
    const found = split([0, 1, 2, 13, 14, 5, 6, 7]);
    expect(found.jumps.map(({ round }) => round)).toEqual([3, 5]);
    expect(found.leftOut).toEqual([]);
    // Up by 10 in the last round of an epoch, down by 10 in the second of the next.
    const across = split([0, 1, 2, 13, 50, 41, 42, 43], [0, 0, 0, 0, 1, 1, 1, 1]);
    expect(across.jumps.map(({ round }) => round)).toEqual([3, 5]);
    expect(across.leftOut).toEqual([]);
  });

  it("is a jump where it is the last", () => {
    const found = split([0, 1, 2, 3, 14]);
    expect(found.jumps).toEqual([{ round: 4, y: 14, expected: 4 }]);
    expect(found.leftOut).toEqual([]);
  });

  it("leads back within the least step, or elsewhere", () => {
    // Up by 10, down by 9.75, or by 9.5: half a unit apart is a jump.
    expect(split([0, 0, 0, 10, 0.25, 0.25, 0.25]).leftOut).toEqual([3]);
    expect(split([0, 0, 0, 10, 0.5, 0.5, 0.5])).toMatchObject({
      leftOut: [],
      jumps: [{ round: 3 }, { round: 4 }],
    });
  });

  it("of two steps is judged by the least alone, as they have no scatter", () => {
    // Slopes of 1 and 11: five below the middle of both, five above.
    expect(split([0, 1, 12]).leftOut).toEqual([1]);
  });

  it("is none between two readings of one day", () => {
    const found = split([0, 1, 2, 12, 13], undefined, [-3, -2, -1, -1, 0]);
    expect(found).toMatchObject({ jumps: [], leftOut: [] });
  });

  it("is held against the path's own yearly slope", () => {
    // 1 a year, every fourth year: no step is more than the years account for, and one of 8 is.
    expect(split([0, 4, 8, 12], undefined, [-12, -8, -4, 0]).jumps).toEqual([]);
    expect(split([0, 4, 8, 16, 20], undefined, [-16, -12, -8, -4, 0]).jumps).toEqual([
      { round: 3, y: 16, expected: 12 },
    ]);
    // Gaps of one and of four years: the slope is that of 1 a year all the same.
    expect(split([0, 1, 5, 9, 13], undefined, [-13, -12, -8, -4, 0]).jumps).toEqual([]);
  });
});

describe("a series with a law of its own", () => {
  // A law that rises by 10 a year from wherever it begins: points lie off it by half the range of what
  // they have beyond. With jumps of 4 at least, they are on it within 3 (three quarters of a jump).
  const tens: Continues = (points) => {
    const beyond = points.map(({ y, years }) => y - 10 * years);
    return (Math.max(...beyond) - Math.min(...beyond)) / 2;
  };
  const split = (
    ys: readonly number[],
    continues: Continues = tens,
    epochs: readonly number[] = [],
  ) => {
    const [{ points, jumps, leftOut }] = splitAtJumps([series(ys, epochs)], 4, continues);
    return { jumps, leftOut, rounds: points.map(({ round, epoch }) => [round, epoch]) };
  };
  const whole = (count: number) => ({
    jumps: [],
    leftOut: [],
    rounds: Array.from({ length: count }, (_, k) => [k, 0]),
  });
  /** Heights that lie so far beyond 10 a year. */
  const beyond = (...off: readonly number[]) => off.map((one, k) => 10 * k + one);

  it("is whole where the law leads through it, however large its steps", () => {
    expect(split(beyond(0, 0, 0, 0))).toEqual(whole(4));
    // Within 3 of the law, and no further.
    expect(split(beyond(0, 0, 0, 6, 6, 6))).toEqual(whole(6));
    expect(split(beyond(0, 0, 0, 6.1, 6.1, 6.1)).jumps).toEqual([
      { round: 3, y: 36.1, expected: 20 },
    ]);
    expect(split([])).toEqual(whole(0));
    expect(split([7])).toEqual(whole(1));
  });

  it("begins again where it fell, with the last height before it", () => {
    // Three years from 0 to 20, and once more.
    expect(split([0, 10, 20, 0, 10, 20])).toEqual({
      jumps: [{ round: 3, y: 0, expected: 20 }],
      leftOut: [],
      rounds: [
        [0, 0],
        [1, 0],
        [2, 0],
        [3, 1000],
        [4, 1000],
        [5, 1000],
      ],
    });
    // Twice.
    const twice = split([0, 10, 20, 0, 10, 20, 0, 10, 20]);
    expect(twice.jumps.map(({ round, expected }) => [round, expected])).toEqual([
      [3, 20],
      [6, 20],
    ]);
    expect(twice.rounds.at(-1)).toEqual([8, 2000]);
  });

  it("leaves a point out that lies off between others that do not", () => {
    const found = split([0, 10, 20, 75, 40, 50, 60]);
    expect(found).toMatchObject({ jumps: [], leftOut: [3] });
    expect(found.rounds.map(([round]) => round)).toEqual([0, 1, 2, 4, 5, 6]);
    // One in each of two stretches, with a fall between.
    const both = split([0, 10, 20, 75, 40, 50, 60, 0, 10, 20, 75, 40, 50, 60]);
    expect(both.leftOut).toEqual([3, 10]);
    expect(both.jumps).toEqual([{ round: 7, y: 0, expected: 60 }]);
    expect(both.rounds.map(([round]) => round)).toEqual([0, 1, 2, 4, 5, 6, 7, 8, 9, 11, 12, 13]);
  });

  it("jumps to its last point, and from its first, rather than to leave either out", () => {
    expect(split([0, 10, 20, 60])).toMatchObject({
      jumps: [{ round: 3, y: 60, expected: 20 }],
      leftOut: [],
    });
    expect(split([-40, 10, 20, 30])).toMatchObject({
      jumps: [{ round: 1, y: 10, expected: -40 }],
      leftOut: [],
    });
  });

  it("of as few breaks has the ones that leave all points nearest to the law", () => {
    // The point between may belong to either: 2.5 off with those before, 2 with those after, and back.
    expect(split(beyond(0, 0, 0, 4, 9, 9, 9)).jumps.map(({ round }) => round)).toEqual([4]);
    expect(split(beyond(0, 0, 0, 5, 9, 9, 9)).jumps.map(({ round }) => round)).toEqual([3]);
  });

  it("needs no law where it stands still, nor has one over a fall", () => {
    const none: Continues = () => undefined;
    // Half a range of 3, and falls of no more.
    expect(split([0, 3, 6], none)).toEqual(whole(3));
    expect(split([0, 3, 0, 3], none)).toEqual(whole(4));
    // -8 to -2 is a range of 6 as well.
    expect(split([-8, -5, -2], none)).toEqual(whole(3));
    expect(split([0, 2, 4, 6.2], none).jumps).toEqual([{ round: 2, y: 4, expected: 2 }]);
    expect(split([0, 3.1, 0], none)).toMatchObject({ jumps: [], leftOut: [1] });
    // A law that would have it all.
    const fallen = (fall: number) => split(tensWith(fall), () => 0);
    const tensWith = (fall: number) =>
      [0, 10, 20, 30, 40, 50].concat([0, 10, 20, 30].map((one) => 50 - fall + one));
    expect(fallen(3)).toEqual(whole(10));
    const { jumps, leftOut } = fallen(3.1);
    expect(jumps.length + leftOut.length).toBe(1);
  });

  it("takes two points for no law, but for what their step is", () => {
    expect(split([0, 6])).toEqual(whole(2));
    expect(split([0, 10]).jumps).toEqual([{ round: 1, y: 10, expected: 0 }]);
    expect(split([20, 26])).toEqual(whole(2));
  });

  it("begins again with the desk's own epochs, which are no jump of the path's", () => {
    expect(split([0, 10, 20, 30, 40, 50], tens, [0, 0, 0, 1, 1, 1])).toEqual({
      jumps: [],
      leftOut: [],
      rounds: [
        [0, 0],
        [1, 0],
        [2, 0],
        [3, 1001],
        [4, 1001],
        [5, 1001],
      ],
    });
  });
});
