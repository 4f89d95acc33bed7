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
