import { describe, expect, it, test } from "vitest";
import { splitIntoEpochs } from "../../../src/history/trend/epochs.js";
import { reading } from "../../helpers/families.js";
import { family, round } from "../rounds-of.js";

const at = (year: number, levels: readonly number[], more: Parameters<typeof round>[2] = {}) =>
  round(
    `${year}-05-01`,
    family(levels.length, (k) => ({ readings: { level: reading(levels[k], "dBFS") } })),
    more,
  );
const epochs = (...rounds: Parameters<typeof splitIntoEpochs>[0]) => splitIntoEpochs(rounds).epochs;

describe("splitIntoEpochs", () => {
  const level = [0, 0, 0, 0];

  test.each([
    [[1, 1, 1, 1], 1],
    [[-1, -1, -1, -1], 1],
    [[0.99, 0.99, 0.99, 0.99], 0],
    // three of four within half a decibel of the middle step
    [[2, 2, 2, -8], 1],
    [[2, 2, -8, -8], 0],
    [[2, 2.49, 2, 2], 1],
  ])("levels that step by %j dB begin an epoch: %d", (steps, epoch) => {
    expect(epochs(at(2030, level), at(2031, steps))).toEqual([0, epoch]);
  });

  it("needs three paths to tell", () => {
    expect(epochs(at(2030, [0, 0]), at(2031, [5, 5]))).toEqual([0, 0]);
    expect(epochs(at(2030, [0, 0, 0]), at(2031, [5, 5, 5]))).toEqual([0, 1]);
  });

  it("counts on, and stays where nothing changed", () => {
    const up = [5, 5, 5, 5];
    expect(epochs(at(2030, level), at(2031, level), at(2032, up), at(2033, level))).toEqual([
      0, 0, 1, 2,
    ]);
  });

  it("begins one with another sample rate or another level of the tones", () => {
    const one = at(2030, level);
    const { signal } = one;
    const rate = at(2031, level, { signal: { ...signal, sampleRate: 2 * signal.sampleRate } });
    const tones = at(2031, level, { signal: { ...signal, nominalDbfs: signal.nominalDbfs - 6 } });
    expect(epochs(one, rate)).toEqual([0, 1]);
    expect(epochs(one, tones)).toEqual([0, 1]);
  });

  it("says which way the level went, and by how much", () => {
    const stepTo = (then: readonly number[]) =>
      splitIntoEpochs([at(2030, level), at(2031, then)]).conditions;
    const step = (db: number) => ({
      code: "new-epoch",
      round: "2031-05-01-01",
      because: { code: "level-step", db: expect.closeTo(db, 9) },
    });
    expect(stepTo([-3.04, -3.04, -3.04])).toEqual([step(-3.04)]);
    expect(stepTo([3.04, 3.04, 3.04])).toEqual([step(3.04)]);
  });
});

describe("epochs of calibrations", () => {
  const level = [0, 0, 0, 0];
  const louder = [5, 5, 5, 5];
  const calibrated = { calibration: { sha256: "aa" } as never };
  const reasons = (...rounds: Parameters<typeof splitIntoEpochs>[0]) =>
    splitIntoEpochs(rounds).conditions.map((one) =>
      one.code === "new-epoch" ? one.because.code : one.code,
    );

  it("begin where one is made or given up, and with no level that it takes out", () => {
    const bare = at(2030, level);
    const made = at(2031, louder, calibrated);
    expect(reasons(bare, made)).toEqual(["calibration-made"]);
    expect(reasons(made, at(2032, level))).toEqual(["calibration-given-up"]);
    expect(reasons(made, at(2032, level, calibrated))).toEqual([]);
    expect(reasons(bare, at(2031, level))).toEqual([]);
  });

  it.each([
    // Of five, three are not three quarters; half a decibel off is not alike.
    [[2, 2, 2, -8, -9], 0],
    [[2, 2, 2, 2, -9], 1],
    [[2, 2, 3, 3.4, 1], 0],
    [[2, 2.5, 1.5, 2, 2], 0],
    [[2, 2.4, 1.6, 2, 2], 1],
  ])("or where four of five levels step alike: %j, %d", (steps, epoch) => {
    const five = [0, 0, 0, 0, 0];
    expect(epochs(at(2030, five), at(2031, steps))).toEqual([0, epoch]);
  });

  it("count paths that have a level both times", () => {
    const then = at(2030, level);
    const [first, ...others] = at(2031, louder).paths;
    const silent = { ...first, readings: {} };
    const added = { ...first, path: "9/mic" };
    expect(epochs(then, { ...then, paths: [silent, ...others, added] })).toEqual([0, 1]);
    expect(epochs(then, { ...then, paths: [silent, ...others.slice(1), added] })).toEqual([0, 0]);
  });
});
