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
    expect([[], [6], [2, 6], [1, 2, 6]].map(fits)).toStrictEqual([true, true, true, false]);
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

describe("by hand", () => {
  const gains = (values: readonly number[], family: (turn: number) => string = () => "mic") =>
    values.map((gainDb, turn) => ({ path: `${turn}`, family: family(turn), turn, gainDb }));
  const places = (turns: number) => Array.from({ length: turns }, (_, turn) => turn);
  /** Warming up with a time constant, as shares of the round: 0 at its start, 1 at its end. */
  const warm = (constant: number) => (at: number) =>
    (1 - Math.exp(-at / constant)) / (1 - Math.exp(-1 / constant));
  // The first path is one turn after the first turn of the reference path, the last one before its last.
  const shares = (turns: number, course: (at: number) => number) =>
    places(turns).map((turn) => course((turn + 1) / (turns + 1)));

  it.each([
    ["evenly", (at: number) => at],
    ["quickly at first", warm(0.06)],
    ["while warming up", warm(0.15)],
    ["slowly", warm(0.35)],
  ])("has the parts of a creep that went %s", (_, course) => {
    const all = shares(12, course);
    const fit = fitLevelDrift(gains(all.map((share) => 30 * share)), 30, 12);
    expect(fit).toStrictEqual({ course: "creep", parts: fit.parts, fits: true });
    const told = all.map((__, turn) => fit.parts.get(`${turn}`));
    expect(told.map((one) => one?.part)).toStrictEqual(
      all.map((share) => expect.closeTo(share, 6)),
    );
    expect(told.map((one) => one?.doubt)).toStrictEqual(all.map(() => expect.closeTo(0, 3)));
  });

  it("knows nothing of a change too small to be seen: steps and creeps are as likely", () => {
    const fit = fitLevelDrift(
      gains(Array(5).fill(0), (turn) => (turn === 2 ? "line" : "mic")),
      1e-9,
      5,
    );
    expect(fit).toMatchObject({ course: "unclear", fits: true });
    // A step is before the turn in so many of six places; four creeps have a quarter of the rest each.
    const creeps = [(at: number) => at, warm(0.06), warm(0.15), warm(0.35)];
    for (const turn of places(5)) {
      const at = (turn + 1) / 6;
      const own = creeps.map((creep) => creep(at));
      const mean = (at + own.reduce((sum, one) => sum + one / 4, 0)) / 2;
      const ofSteps = at * (1 - mean) ** 2 + (1 - at) * mean ** 2;
      const ofCreeps = own.reduce((sum, one) => sum + (one - mean) ** 2 / 4, 0);
      const { part, doubt } = fit.parts.get(`${turn}`) ?? {};
      expect(part).toBeCloseTo(mean, 9);
      expect(doubt).toBeCloseTo(Math.sqrt((ofSteps + ofCreeps) / 2), 9);
    }
    // A path without siblings has what its family has.
    expect(fit.parts.get("2")?.doubtAmongSiblings).toBe(0);
    expect(fit.parts.get("0")?.doubtAmongSiblings).toBeGreaterThan(0.1);
  });

  it("finds a step before the first path, and after the last", () => {
    // Two families of which one has four paths at 20 dB, the other four at 26 dB; or all where they were.
    const line = (turn: number) => (turn < 4 ? "mic" : "line");
    const found = (values: readonly number[]) => fitLevelDrift(gains(values, line), 6, 8).fromTurn;
    expect(found([20, 20, 20, 20, 26, 26, 26, 26])).toBe(4);
    expect(found([20, 20, 26, 26, 26, 26, 26, 26])).toBe(2);
    expect(found([20, 20, 20, 20, 20, 20, 20, 26])).toBe(7);
  });

  it("is content with three siblings, and with none does not know", () => {
    const of = (values: readonly number[]) => fitLevelDrift(gains(values), 5, values.length).fits;
    expect([of([0, 5]), of([0, 0, 5])]).toStrictEqual([false, true]);
  });

  it("weighs a round of many paths of which none fits most of the ways", () => {
    const values = places(160).map((turn) => (turn < 80 ? 0 : 40) + (turn % 2 === 0 ? 0.1 : -0.1));
    expect(fitLevelDrift(gains(values), 40, 160)).toMatchObject({ course: "step", fromTurn: 80 });
  });
});
