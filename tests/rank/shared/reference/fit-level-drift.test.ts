import { describe, expect, it } from "vitest";
import { fitLevelDrift } from "../../../../src/rank/shared/reference/fit-level-drift.js";
import { createDeviates } from "../../../helpers/shared-desk.js";

/** Levels set by hand, 0.2 dB of scatter, of two families one after the other, with a known drift. */
function round(seed: number, count: number, driftDb: (turn: number) => number) {
  const deviate = createDeviates(seed);
  return Array.from({ length: 2 * count }, (_, turn) => ({
    path: `${turn}`,
    family: turn < count ? "mic" : "line",
    turn,
    gainDb: (turn < count ? 0.3 : -0.2) + 0.2 * deviate() + driftDb(turn),
  }));
}

/** How far the parts found are from the truth, root mean square, decibels. */
function misfit(
  paths: ReturnType<typeof round>,
  changeDb: number,
  driftDb: (turn: number) => number,
): number {
  const { parts } = fitLevelDrift(paths, changeDb, paths.length);
  const squares = paths.map(
    ({ path, turn }) => (changeDb * (parts.get(path)?.part ?? Number.NaN) - driftDb(turn)) ** 2,
  );
  return Math.sqrt(squares.reduce((a, b) => a + b) / squares.length);
}

describe("fitLevelDrift", () => {
  // The truth is the drift that each round was made with.
  it.each([
    [11, 2.3, 7],
    [12, -1.4, 17],
    [13, -4.7, 30],
    [14, 1.1, 20],
  ])("finds when the level stepped: seed %i, %f dB before turn %i", (seed, changeDb, at) => {
    const step = (turn: number) => (turn >= at ? changeDb : 0);
    const paths = round(seed, 18, step);
    const { course, fromTurn = -1, fits } = fitLevelDrift(paths, changeDb, paths.length);
    expect(fits).toBe(true);
    expect(course).toBe("step");
    expect(Math.abs(fromTurn - at)).toBeLessThanOrEqual(1);
    expect(misfit(paths, changeDb, step)).toBeLessThan(0.25 * Math.abs(changeDb));
  });

  it.each([
    [21, 1.6, 5],
    [22, -2.2, 12],
    [23, 0.9, 40],
  ])("finds that it crept: seed %i, %f dB, time constant of %i turns", (seed, changeDb, turns) => {
    const whole = 1 - Math.exp(-37 / turns);
    const creep = (turn: number) => (changeDb * (1 - Math.exp(-(turn + 1) / turns))) / whole;
    const paths = round(seed, 18, creep);
    expect(misfit(paths, changeDb, creep)).toBeLessThan(0.2);
    expect(fitLevelDrift(paths, changeDb, paths.length).course).not.toBe("step");
  });

  it("tells that it does not know where too few paths were recorded in between", () => {
    const paths = round(31, 1, (turn) => (turn > 0 ? 2 : 0));
    expect(fitLevelDrift(paths, 2, paths.length)).toMatchObject({ fits: false, course: "unclear" });
  });

  it("tells that nothing fits where the paths were not recorded in the order given", () => {
    const deviate = createDeviates(32);
    const paths = round(32, 18, () => (deviate() > 0 ? 5 : 0));
    expect(fitLevelDrift(paths, 5, paths.length)).toMatchObject({ fits: false, course: "unclear" });
  });

  it("fits as long as no more than a quarter of the paths have a fault of their own", () => {
    // A step of 2 dB before the fifth of eight, and nothing else but the faults.
    const fits = (faults: readonly number[]) =>
      fitLevelDrift(
        Array.from({ length: 8 }, (_, turn) => ({
          path: `${turn}`,
          family: "mic",
          turn,
          gainDb: (turn < 4 ? 0 : 2) - (faults.includes(turn) ? 20 : 0),
        })),
        2,
        8,
      ).fits;
    expect([[], [6], [2, 6], [1, 2, 6]].map(fits)).toEqual([true, true, true, false]);
  });

  it("gives one path's own fault no say", () => {
    const step = (turn: number) => (turn >= 9 ? -2 : 0);
    const paths = round(33, 18, step).map((one) =>
      one.turn === 3 ? { ...one, gainDb: one.gainDb - 20 } : one,
    );
    expect(fitLevelDrift(paths, -2, paths.length).course).toBe("step");
    expect(misfit(paths, -2, step)).toBeLessThan(0.4);
  });
});
