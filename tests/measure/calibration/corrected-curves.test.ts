import { describe, expect, it, test } from "vitest";
import { correctCorners } from "../../../src/measure/calibration/corrected-corners.js";
import {
  calibrateCurves,
  interpolateCurve,
} from "../../../src/measure/calibration/corrected-curves.js";
import type { InputCalibration } from "../../../src/measure/calibration/types.js";
import type { Curve } from "../../../src/measure/types.js";

// Expected: two RC sections in a row, whose responses add up in decibels; where the sum falls by half a
// power is found from the closed form of each.

const grid = Array.from({ length: 481 }, (_, k) => 20 * 10 ** (k / 160));
const curve = (db: (hz: number) => number, more: Partial<Curve> = {}): Curve => ({
  x: grid,
  y: grid.map(db),
  uncertainty: grid.map(() => 0.02),
  xUnit: "Hz",
  yUnit: "dB",
  ...more,
});
const relative = (db: (hz: number) => number) => (hz: number) => db(hz) - db(1000);
const highPass = (fc: number) => relative((hz) => -10 * Math.log10(1 + (fc / hz) ** 2));
const lowPass = (fc: number) => relative((hz) => -10 * Math.log10(1 + (hz / fc) ** 2));
const sum =
  (...all: readonly ((hz: number) => number)[]) =>
  (hz: number) =>
    all.reduce((db, one) => db + one(hz), 0);
const corner = (value: number) => ({ value, unit: "Hz", uncertainty: 0.1 });

describe("interpolateCurve", () => {
  const points: Curve = {
    x: [100, 1000, 10_000],
    y: [0, 3, 9],
    uncertainty: [0.1, 0.2, 0.4],
    xUnit: "Hz",
    yUnit: "dB",
  };

  it.each([
    // straight lines in the logarithm of frequency
    [100, 0, 0.2],
    [100 * Math.sqrt(10), 1.5, 0.2],
    [1000, 3, 0.4],
    [1000 * 10 ** 0.25, 4.5, 0.4],
    [10_000, 9, 0.4],
    [50, 0, 0.2],
    [20_000, 9, 0.4],
  ])("at %d Hz", (hz, value, uncertainty) => {
    const point = interpolateCurve(points, hz);
    expect(point.value).toBeCloseTo(value, 9);
    expect(point.uncertainty).toBe(uncertainty);
  });

  it("holds the only point there is", () => {
    const one = { ...points, x: [100], y: [7], uncertainty: [0.3] };
    expect(interpolateCurve(one, 500)).toMatchObject({ value: 7, uncertainty: 0.3 });
  });
});

describe("correctCorners", () => {
  const own = curve(sum(highPass(10), lowPass(40_000)));
  const path = curve(sum(highPass(40), lowPass(12_000)));
  const heard = curve(sum(highPass(10), lowPass(40_000), highPass(40), lowPass(12_000)));
  /** Where two high-passes together fall by half a power: (1 + (a/f)²)(1 + (b/f)²) = 2, as f² = u. */
  const together = (a: number, b: number) => {
    const s = a * a + b * b;
    return Math.sqrt((s + Math.sqrt(s * s + 4 * a * a * b * b)) / 2);
  };

  it("moves a corner by as much as the interface moved the curve's", () => {
    const low = together(40, 10);
    const high = 1 / together(1 / 12_000, 1 / 40_000);
    const { cornerLow, cornerHigh } = correctCorners(
      { cornerLow: corner(low), cornerHigh: corner(high) },
      { response: heard },
      { response: path },
      own,
    );
    expect(cornerLow).toMatchObject({ value: expect.closeTo(40, 1) });
    expect(cornerHigh).toMatchObject({ value: expect.closeTo(12_000, -2) });
    // 0.02 dB of the interface on a slope of 10 dB a neper or more
    const doubt = (40 * 0.02) / (10 / Math.LN10);
    expect(cornerLow).toMatchObject({ common: expect.closeTo(doubt, 3) });
    const scaled = (0.1 * 40) / low;
    expect(cornerLow).toMatchObject({ uncertainty: expect.closeTo(Math.hypot(scaled, doubt), 3) });
  });

  it("widens a corner beyond the curve by what the interface may have moved it", () => {
    const flat = curve(sum(highPass(3)));
    const { cornerLow } = correctCorners(
      { cornerLow: corner(3) },
      { response: flat },
      { response: flat },
      curve(highPass(2)),
    );
    // A loss of the interface at 20 Hz of 10·lg(1 + 0.01), against 1 kHz, as of an RC section (20/3)² times at 3 Hz.
    const lossDb = (10 * Math.log10(1.01) - 10 * Math.log10(1 + 4e-6)) * (20 / 3) ** 2;
    const reach = (3 * lossDb) / (10 / Math.LN10);
    expect(cornerLow).toMatchObject({
      value: 3,
      uncertainty: expect.closeTo(Math.hypot(0.1, reach), 3),
      common: expect.closeTo(reach, 3),
    });
    const top = curve(lowPass(60_000));
    const { cornerHigh } = correctCorners(
      { cornerHigh: corner(60_000) },
      { response: top },
      { response: top },
      curve(lowPass(90_000)),
    );
    const topLoss = (10 * Math.log10(1 + (2 / 9) ** 2) - 10 * Math.log10(1 + 1 / 8100)) * 9;
    expect(cornerHigh).toMatchObject({
      common: expect.closeTo((60_000 * topLoss) / (10 / Math.LN10), -1),
    });
  });

  it("says so where a corner was the interface's alone", () => {
    const { cornerLow } = correctCorners(
      { cornerLow: corner(30) },
      { response: curve(highPass(30)) },
      { response: curve(() => 0) },
      curve(highPass(30)),
    );
    expect(cornerLow).toMatch(/below 20 Hz/);
    const { cornerHigh } = correctCorners(
      { cornerHigh: corner(15_000) },
      { response: curve(lowPass(15_000)) },
      { response: curve(() => 0) },
      curve(lowPass(15_000)),
    );
    expect(cornerHigh).toMatch(/above 20000 Hz/);
  });

  it("has nothing to correct without both curves and the interface's own", () => {
    const readings = { cornerLow: corner(30) };
    expect(correctCorners(readings, {}, { response: path }, own)).toEqual({});
    expect(correctCorners(readings, { response: path }, {}, own)).toEqual({});
    expect(correctCorners(readings, { response: path }, { response: path }, undefined)).toEqual({});
    expect(correctCorners({}, { response: path }, { response: path }, own)).toEqual({});
  });
});

test("a response is divided by the interface's, and noise is told in dBu", () => {
  const input = {
    channel: 0,
    fullScale: { value: 22, unit: "dBu", uncertainty: 0.3 },
    curves: { response: curve(highPass(10), { uncertainty: grid.map(() => 0.03) }) },
  } as unknown as InputCalibration;
  const noise = curve(() => -120, {
    yUnit: "dBFS",
    uncertainty: grid.map(() => 0.4),
    floor: grid.map(() => -130),
  });
  const response = curve(sum(highPass(10), highPass(40)), {
    uncertainty: grid.map(() => 0.04),
  });
  const cleared = calibrateCurves({ response, noise }, input, 0.5);
  grid.forEach((hz, i) => {
    expect(cleared.response.y[i]).toBeCloseTo(highPass(40)(hz), 9);
    expect(cleared.response.uncertainty[i]).toBeCloseTo(0.05, 12);
  });
  expect(cleared.noise).toMatchObject({ yUnit: "dBu" });
  expect([cleared.noise.y[7], cleared.noise.floor?.[7]]).toEqual([-98, -108]);
  expect(cleared.noise.uncertainty[7]).toBeCloseTo(0.5, 12);
});
