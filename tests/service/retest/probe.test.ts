import { describe, expect, it } from "vitest";
import type { RoundPath } from "../../../src/history/types.js";
import { responseLeastDb } from "../../../src/rank/responses.js";
import {
  addsAsPower,
  computeCommonMove,
  getProbeThreshold,
  isLevel,
  readProbe,
} from "../../../src/service/retest/probe.js";
import { pairPaths } from "../../../src/service/retest/rank-among-base.js";
import { path, reading, round } from "../limits/rounds.js";

it("a difference at a point of a curve matters from the curve's floor on", () => {
  expect(getProbeThreshold({ reading: "response", atHz: 1000 }, 0)).toBe(responseLeastDb);
  expect(getProbeThreshold({ reading: "a-curve-of-tomorrow", atHz: 1000 }, 0)).toBe(0);
});

it("pairs paths that both rounds have measured, and no other", () => {
  const earlier = round([
    path({ path: "1/mic" }),
    path({ path: "2/mic", status: "silent" as never }),
  ]);
  const later = round([path({ path: "1/mic" }), path({ path: "2/mic" }), path({ path: "3/mic" })]);
  expect(pairPaths({ earlier, later }, []).all.map(({ now }) => now.path)).toStrictEqual(["1/mic"]);
});

describe("readProbe", () => {
  const curve = (parts: object = {}) => ({
    x: [100, 1000, 10_000],
    y: [-1, -2, -3],
    uncertainty: [0.1, 0.2, 0.3],
    xUnit: "Hz",
    yUnit: "dB",
    ...parts,
  });
  const at = (atHz: number, parts?: object) =>
    readProbe({ readings: {}, curves: { response: curve(parts) } } as never, {
      reading: "response",
      atHz,
    });

  it("reads of a curve the nearest point, by ratio, no further than a factor of 1.15", () => {
    expect(at(1000)).toStrictEqual({ value: -2, unit: "dB", uncertainty: 0.2 });
    expect([870, 1149].map((hz) => at(hz)?.value)).toStrictEqual([-2, -2]);
    // 1000/869 = 1.1507
    expect([869, 1151, 80, 12_000].map((hz) => at(hz))).toStrictEqual(Array(4).fill(undefined));
    expect([100, 110, 10_000].map((hz) => at(hz)?.value)).toStrictEqual([-1, -1, -3]);
    expect(at(1000, { x: [], y: [], uncertainty: [] })).toBeUndefined();
    expect(
      readProbe({ readings: {}, curves: {} }, { reading: "response", atHz: 1000 }),
    ).toBeUndefined();
  });

  it("takes a point at its floor, give or take the rounding, for a bound from above", () => {
    const floored = (floor: number) => at(1000, { floor: [-99, floor, -99] });
    for (const floor of [-2, -2.005, -1]) {
      expect(floored(floor)).toStrictEqual({
        value: -2,
        unit: "dB",
        uncertainty: 0,
        bound: "upper",
      });
    }
    expect(floored(-2.02)).toStrictEqual({ value: -2, unit: "dB", uncertainty: 0.2 });
  });

  it("reads a reading by its own uncertainty, and a bound by none", () => {
    const of = (one: object) =>
      readProbe({ readings: { gain: one }, curves: {} } as never, { reading: "gain" });
    expect(of(reading(3, "dB", 0.5))).toStrictEqual({ value: 3, unit: "dB", uncertainty: 0.5 });
    // What all paths of a round share is taken out in quadrature: 0.5² − 0.4² = 0.3².
    const { uncertainty = Number.NaN } = of({ ...reading(3, "dB", 0.5), common: 0.4 }) ?? {};
    expect(uncertainty).toBeCloseTo(0.3, 9);
    expect(of({ ...reading(3), bound: "lower" })).toStrictEqual({
      value: 3,
      unit: "dB",
      uncertainty: 0,
      bound: "lower",
    });
    expect(readProbe({ readings: {}, curves: {} }, { reading: "gain" })).toBeUndefined();
  });
});

it("a level is in decibels of full scale or of volts, and no other unit", () => {
  expect(["dBFS", "dBu", "dBFS/√Hz", "dB", "%", "Hz"].map(isLevel)).toStrictEqual([
    true,
    true,
    true,
    false,
    false,
    false,
  ]);
});

it("noise, hum and distortion add as power, gain and response do not", () => {
  const adds = (name: string) => addsAsPower({ reading: name });
  expect(["hiss", "hum", "gain", "response", "of-tomorrow"].map(adds)).toStrictEqual([
    true,
    true,
    false,
    false,
    false,
  ]);
});

describe("computeCommonMove", () => {
  // A gain is granted a quarter of its 0.7 dB of no concern from day to day.
  const granted = 0.7 / 4;
  const gain = { reading: "gain" };
  const free = { refused: () => undefined };
  const pair = (was: number, now: number, more: { past?: object; today?: object } = {}) => {
    const of = (value: number, parts: object | undefined) =>
      path({ path: "1/mic", readings: { gain: { ...reading(value, "dB", 0), ...parts } } });
    return { was: of(was, more.past), now: of(now, more.today) };
  };
  const move = (pairs: readonly { was: RoundPath; now: RoundPath }[]) =>
    computeCommonMove(pairs, gain, free);

  it("is the middle of the differences, in decibels", () => {
    expect(move([pair(0, 1), pair(5, 5), pair(-3, 0)])).toMatchObject({
      change: 1,
      unit: "dB",
      count: 3,
      common: 0,
    });
    // Three that agree scatter by nothing: half of what a day is granted is left.
    expect(move([pair(0, 1), pair(5, 6), pair(-3, -2)])?.error).toBeCloseTo(granted / 2, 12);
  });

  it("grants one or two the usual scatter, with what they were measured by", () => {
    // √(π/2) of it for a median, and half of what a day is granted: in quadrature.
    const error = (scatter: number, count: number) =>
      Math.hypot((Math.sqrt(Math.PI / 2) * scatter) / Math.sqrt(count), granted / 2);
    expect(move([pair(0, 1)])?.error).toBeCloseTo(error(granted, 1), 12);
    expect(move([pair(0, 1), pair(0, 3)])?.error).toBeCloseTo(error(granted, 2), 12);
    const doubtful = pair(0, 1, { past: { uncertainty: 0.6 }, today: { uncertainty: 0.8 } });
    // 0.6 and 0.8 dB, 95 %: 0.5 dB standard.
    expect(move([doubtful])?.error).toBeCloseTo(error(Math.hypot(granted, 0.5), 1), 12);
  });

  it("has the doubt of both calibrations in common", () => {
    const both = pair(0, 1, {
      past: { uncertainty: 1, common: 0.3 },
      today: { uncertainty: 1, common: 0.4 },
    });
    expect(move([both])?.common).toBeCloseTo(0.5, 12);
  });

  it("counts a rise from a bound, and neither one to a bound nor another unit", () => {
    const bound = { bound: "upper" };
    expect(move([pair(0, 1, { past: bound })])?.change).toBe(1);
    expect(move([pair(0, 1, { today: bound })])).toBeUndefined();
    expect(move([pair(0, 1, { today: { unit: "%" } })])).toBeUndefined();
    expect(move([pair(0, 1), pair(0, 9, { today: { unit: "%" } })])?.count).toBe(1);
    expect(move([])).toBeUndefined();
    const refused = { refused: () => ({ code: "other-level" as const }) };
    expect(computeCommonMove([pair(0, 1)], gain, refused)).toBeUndefined();
  });
});
