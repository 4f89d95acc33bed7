import { describe, expect, it } from "vitest";
import { computeRise, pairSteadyParts } from "../../../src/measure/calibration/steady-parts.js";
import type { Curve, Reading } from "../../../src/measure/types.js";

// Expected values: closed forms of powers, and of harmonics of a gently bent line, of which the n-th
// goes with n − 1 times the level in decibels.

const dB = (value: number, uncertainty = 0.1): Reading => ({ value, unit: "dBFS", uncertainty });
const curve = (y: readonly number[], uncertainty: readonly number[]): Curve => ({
  x: y.map((_, k) => 50 * (k + 1)),
  y,
  uncertainty,
  xUnit: "Hz",
  yUnit: "dBFS",
});
const share = { adds: "power", steady: "hum", lines: "humLines" } as const;
const figures = (humLines: Curve | undefined, hum: number) => ({
  readings: { hum: dB(hum) },
  curves: humLines ? { humLines } : {},
});

describe("the steady parts of path and interface", () => {
  it("are lines, one by one, with what bounds may hide", () => {
    const heard = figures(curve([-80, -100, -90], [0.1, 6, 6]), -80);
    const own = figures(curve([-110, -100, -95], [0.1, 0.1, 6]), -99);
    const parts = pairSteadyParts(share, heard, own, 1);
    expect(parts).toHaveLength(2);
    expect(parts[0].heard).toBeCloseTo(1e-8, 15);
    expect(parts[0].own).toBeCloseTo(1e-11, 18);
    expect(parts[1].heard).toBeCloseTo(0.25e-10, 15);
  });

  it("of hum are the lines that it sums: all, the odd or the even ones", () => {
    const heard = figures(curve([-80, -81, -82], [0.1, 0.1, 0.1]), -76);
    const own = figures(curve([-110, -111, -112], [0.1, 0.1, 0.1]), -106);
    const heardOf = (orders: { orders?: "odd" | "even" }) =>
      pairSteadyParts({ adds: "phase", lines: "humLines", ...orders }, heard, own, 1).map((part) =>
        Math.round(10 * Math.log10(part.heard)),
      );
    expect(heardOf({})).toEqual([-80, -81, -82]);
    expect(heardOf({ orders: "odd" })).toEqual([-80, -82]);
    expect(heardOf({ orders: "even" })).toEqual([-81]);
    // the output's come back four times as strong, or a quarter: then the input's are the greater
    const hum = { adds: "phase", lines: "humLines" } as const;
    const ownOf = (share: number) => pairSteadyParts(hum, heard, own, share)[0].own;
    expect(ownOf(4)).toBeCloseTo(4e-11, 20);
    expect(ownOf(0.25)).toBeCloseTo(1e-11, 20);
  });

  it("of distortion and noise are the harmonics, and the lines against the tone", () => {
    const against = { adds: "power", steady: "thd", lines: "humLines", against: "level" } as const;
    const with1k = (level: number, thd: number, lines: Curve) => ({
      readings: { level: dB(level), thd: dB(thd) },
      curves: { humLines: lines },
    });
    const heard = with1k(-20, -60, curve([-80], [0.1]));
    const own = with1k(-10, -90, curve([-110], [0.1]));
    const parts = pairSteadyParts(against, heard, own, 1);
    // −80 dBFS against −20, −110 against −10
    expect(parts).toHaveLength(2);
    expect(10 * Math.log10(parts[0].heard)).toBeCloseTo(-60, 9);
    expect(10 * Math.log10(parts[0].own)).toBeCloseTo(-100, 9);
    expect(10 * Math.log10(parts[1].heard)).toBeCloseTo(-60, 9);
    expect(10 * Math.log10(parts[1].own)).toBeCloseTo(-90, 9);
  });

  it("are all lines together where one side has none by themselves", () => {
    const parts = pairSteadyParts(share, figures(undefined, -80), figures(undefined, -90), 3);
    // the interface's output comes back three times as strong, its input's part does not
    expect(parts).toEqual([{ heard: 1e-8, own: 2 * 10 ** -9 }]);
    expect(
      pairSteadyParts({ adds: "phase" }, figures(undefined, 0), figures(undefined, 0), 1),
    ).toEqual([]);
  });
});

describe("what of the interface's own rises with the level", () => {
  it("is nothing where less comes back than in the loopback", () => {
    expect(computeRise("harmonic3", { adds: "phase", rise: 2 }, {}, -6)).toBe(0);
  });

  it("goes with the order of a harmonic, and lines of the mains with the gain", () => {
    expect(computeRise("harmonic3", { adds: "phase", rise: 2 }, {}, 6)).toBe(12);
    expect(computeRise("hum", { adds: "phase" }, {}, 6)).toBe(6);
    expect(computeRise("noise", share, {}, 6)).toBe(0);
  });

  it("is, for the sum of harmonics, what 12 dB more made in the loopback", () => {
    const own = { thd: dB(-100), thdHot: dB(-88) };
    const thd = { adds: "phase", rise: 2 } as const;
    expect(computeRise("thd", thd, own, 6)).toBe(6);
    // beyond that step, and where it is not known, as the third goes
    expect(computeRise("thd", thd, own, 13)).toBe(26);
    expect(computeRise("thd", thd, {}, 6)).toBe(12);
  });
});

describe("the parts that are compared", () => {
  const hum = { adds: "phase", lines: "humLines" } as const;
  const one = (hz: readonly number[], y: readonly number[]): Curve => ({
    ...curve(
      y,
      y.map(() => 0.1),
    ),
    x: hz,
  });
  const ratio = (parts: ReturnType<typeof pairSteadyParts>) =>
    parts.map(({ heard, own }) =>
      [heard, own].map((power) => Number((10 * Math.log10(power)).toFixed(6))),
    );

  it("are lines at the same frequency, wherever they stand in their lists", () => {
    const heard = figures(one([50, 100, 150], [-80, -81, -82]), -70);
    const own = figures(one([150, 50], [-110, -111]), -100);
    expect(ratio(pairSteadyParts(hum, heard, own, 1))).toEqual([
      [-80, -111],
      [-82, -110],
    ]);
    const first = figures(one([50], [-80]), -70);
    expect(ratio(pairSteadyParts(hum, first, first, 1))).toEqual([[-80, -80]]);
  });

  it("are none of lines where one side has no curve, and none where adding is a difference", () => {
    const lines = figures(one([50], [-80]), -70);
    const none = figures(undefined, -70);
    expect(pairSteadyParts(hum, lines, none, 1)).toEqual([]);
    expect(pairSteadyParts(hum, none, lines, 1)).toEqual([]);
    expect(pairSteadyParts({ adds: "difference" }, lines, lines, 1)).toEqual([]);
    // Lines that nothing sums up, and a sum that one side does not have.
    const unsummed = pairSteadyParts({ adds: "power", lines: "humLines" }, lines, lines, 1);
    expect(ratio(unsummed)).toEqual([[-80, -80]]);
    const { curves } = none;
    expect(pairSteadyParts(share, none, { readings: {}, curves }, 1)).toEqual([]);
    expect(pairSteadyParts(share, { readings: {}, curves }, none, 1)).toEqual([]);
  });

  it("against a level are no lines where either level is missing", () => {
    const against = { adds: "power", steady: "thd", lines: "humLines", against: "level" } as const;
    const humLines = one([50], [-80]);
    const whole = { readings: { level: dB(-20), thd: dB(-60) }, curves: { humLines } };
    const without = { readings: { thd: dB(-70) }, curves: { humLines } };
    expect(ratio(pairSteadyParts(against, whole, without, 1))).toEqual([[-60, -70]]);
    expect(ratio(pairSteadyParts(against, without, whole, 1))).toEqual([[-70, -60]]);
    expect(ratio(pairSteadyParts(against, whole, whole, 1))).toHaveLength(2);
  });

  it("share the output's excess evenly with the input in a sum: (1 + 3)/2 times, 3.01 dB", () => {
    const lines = figures(one([50], [-80]), -70);
    expect(ratio(pairSteadyParts(share, lines, lines, 3))).toEqual([[-80, -76.9897]]);
  });

  it("count a quarter of a bound's power, on either side", () => {
    const bound = figures(curve([-80], [6]), -70);
    const sure = figures(curve([-80], [5.99]), -70);
    const quarter = Number((-80 + 10 * Math.log10(0.25)).toFixed(6));
    expect(ratio(pairSteadyParts(hum, bound, sure, 1))).toEqual([[quarter, -80]]);
    expect(ratio(pairSteadyParts(hum, sure, bound, 1))).toEqual([[-80, quarter]]);
    expect(pairSteadyParts(hum, bound, bound, 1)).toEqual([]);
  });
});

describe("the bounds of what rises", () => {
  const thd = { adds: "phase", rise: 2 } as const;
  const own = { thd: dB(-100), thdHot: dB(-88) };

  it("are no level more, and the 12 dB that the loopback was tried at", () => {
    expect(computeRise("thd", thd, own, 0)).toBe(0);
    expect(computeRise("thd", thd, own, 12)).toBe(12);
    expect(computeRise("thd", thd, own, 12.5)).toBe(25);
  });

  it("need both levels of the sum itself, and let nothing fall", () => {
    expect(computeRise("thd", thd, { thd: own.thd }, 6)).toBe(12);
    expect(computeRise("thd", thd, { thdHot: own.thdHot }, 6)).toBe(12);
    expect(computeRise("harmonic3", thd, own, 6)).toBe(12);
    expect(computeRise("thd", thd, { thd: dB(-88), thdHot: dB(-100) }, 6)).toBe(0);
  });
});
