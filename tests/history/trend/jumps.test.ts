import { describe, expect, it } from "vitest";
import { splitAtJumps } from "../../../src/history/trend/jumps.js";
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
