import { describe, expect, it, test } from "vitest";
import { correctCorners } from "../../../src/measure/calibration/corrected-corners.js";
import { calibrateCurves } from "../../../src/measure/calibration/corrected-curves.js";
import { interpolateCurve } from "../../../src/measure/calibration/interpolate-curve.js";
import type { InputCalibration } from "../../../src/measure/calibration/types.js";
import type { Curve, Reading } from "../../../src/measure/types.js";

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
  const made = (value: number) => ({ value, unit: "Hz", uncertainty: 0.1 });
  const ends = { cornerLow: made(30), cornerHigh: made(10_000) };
  const even = { uncertainty: grid.map(() => 0.004) };
  const own = curve(sum(highPass(10), lowPass(40_000)), even);
  const through = (path: (hz: number) => number, other = own) => {
    const heard = { ...curve(path, even), y: grid.map((hz, k) => path(hz) + other.y[k]) };
    return correctCorners(
      ends,
      {},
      { response: heard },
      { response: curve(path, { uncertainty: grid.map(() => 0.004 * Math.SQRT2) }) },
      { response: other },
    );
  };
  const reading = (found: ReturnType<typeof through>, id: string) => found[id] as Reading;

  it("are those of the path alone, in the curve and beyond it, with the order", () => {
    // bisected on the closed form: half the power of 1 kHz
    const where = (path: (hz: number) => number, out: number) => {
      let [near, far] = [1000, out];
      for (let pass = 0; pass < 60; pass++) {
        const middle = Math.sqrt(near * far);
        if (path(middle) > -10 * Math.log10(2)) near = middle;
        else far = middle;
      }
      return near;
    };
    for (const [lowHz, highHz] of [
      [40, 12_000],
      [6, 45_000],
    ]) {
      const path = sum(highPass(lowHz), lowPass(highHz));
      const found = through(path);
      const [low, high] = [where(path, 1), where(path, 1e6)];
      const [cornerLow, cornerHigh] = ["cornerLow", "cornerHigh"].map((id) => reading(found, id));
      expect(Math.abs(cornerLow.value - low)).toBeLessThan(cornerLow.uncertainty);
      expect(cornerLow.uncertainty).toBeLessThan(0.1 * low);
      expect(Math.abs(cornerHigh.value - high)).toBeLessThan(cornerHigh.uncertainty);
      expect(cornerHigh.uncertainty).toBeLessThan(0.1 * high);
      const order = reading(found, "orderLow");
      expect(Math.abs(order.value - 1)).toBeLessThan(order.uncertainty);
    }
  });

  it("carry the doubt about the interface, and what of it all paths share", () => {
    const found = reading(through(sum(highPass(40), lowPass(12_000))), "cornerLow");
    // of two equal parts in a sum of squares
    expect((found.common ?? 0) / found.uncertainty).toBeCloseTo(Math.SQRT1_2, 6);
    const surer = curve(sum(highPass(10), lowPass(40_000)), { uncertainty: grid.map(() => 1e-4) });
    const heard = { response: curve(sum(highPass(40), lowPass(12_000))) };
    const sure = correctCorners(ends, {}, heard, heard, { response: surer });
    expect(reading(sure, "cornerLow").common).toBe(0);
  });

  it("say so where a corner was the interface's alone, and find one that it hid", () => {
    const flat = through(() => 0);
    expect(flat.cornerLow).toEqual({
      absent: { code: "corner-beyond-sweep", end: "low", edgeHz: 20 },
    });
    expect(flat.cornerHigh).toEqual({
      absent: { code: "corner-beyond-sweep", end: "high", edgeHz: 20_000 },
    });
    const hidden = correctCorners(
      {},
      { cornerLow: { code: "no-roll-off" } },
      { response: curve(() => 0) },
      { response: curve(highPass(40)) },
      { response: curve(sum(highPass(40), (hz) => -2 * highPass(40)(hz))) },
    );
    expect(reading(hidden, "cornerLow").value).toBeCloseTo(40, 0);
  });

  it("go down to where both responses are known", () => {
    const low = [8, 10, 12.6, 15.9].map((hz) => hz);
    const below = (db: (hz: number) => number): Curve => ({
      ...curve(db),
      x: low,
      y: low.map(db),
      uncertainty: low.map(() => 0.02),
    });
    const path = sum(highPass(2), lowPass(12_000));
    const cleared = { response: curve(path), responseLow: below(path) };
    const at = (ownLow: boolean) => {
      const other = { response: own, ...(ownLow ? { responseLow: below(highPass(10)) } : {}) };
      return correctCorners(ends, {}, cleared, cleared, other).cornerLow;
    };
    const found = at(true) as Reading;
    expect(Math.abs(found.value - 2)).toBeLessThan(found.uncertainty);
    expect(at(false)).toEqual({
      absent: { code: "corner-beyond-sweep", end: "low", edgeHz: 20 },
    });
  });

  it("stay where there are no curves to take the interface out of", () => {
    const response = curve(highPass(40));
    expect(correctCorners(ends, {}, {}, { response }, { response: own })).toEqual({});
    expect(correctCorners(ends, {}, { response }, {}, { response: own })).toEqual({});
    expect(correctCorners(ends, {}, { response }, { response }, {})).toEqual({});
    expect(correctCorners({}, {}, { response }, { response }, { response: own })).toEqual({});
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
  const cleared = calibrateCurves({ response, noise }, { input }, 0.5);
  grid.forEach((hz, i) => {
    expect(cleared.response.y[i]).toBeCloseTo(highPass(40)(hz), 9);
    expect(cleared.response.uncertainty[i]).toBeCloseTo(0.05, 12);
  });
  expect(cleared.noise).toMatchObject({ yUnit: "dBu" });
  expect([cleared.noise.y[7], cleared.noise.floor?.[7]]).toEqual([-98, -108]);
  expect(cleared.noise.uncertainty[7]).toBeCloseTo(0.5, 12);
});

it("levels are put in dBu, and what is in decibels stays as it is", () => {
  const input = {
    channel: 0,
    returns: 1,
    fullScale: { value: 22, unit: "dBu", uncertainty: 0.03 },
    readings: {},
    curves: {},
  };
  const noise = curve(() => -100, { yUnit: "dBFS", floor: grid.map(() => -120) });
  const distortionCurve = curve(() => -80);
  const made = calibrateCurves({ noise, distortionCurve }, { input }, 1);
  expect(made.distortionCurve).toEqual(distortionCurve);
  // −100 dBFS of 22 dBu; 0.02 and 0.03 dB in quadrature.
  expect(made.noise).toMatchObject({ yUnit: "dBu", y: grid.map(() => -78) });
  expect(made.noise?.floor).toEqual(grid.map(() => -98));
  for (const u of made.noise?.uncertainty ?? []) expect(u).toBeCloseTo(Math.hypot(0.02, 0.03), 12);
});

describe("what of a corner's doubt all paths share", () => {
  const ends = {
    cornerLow: { value: 30, unit: "Hz", uncertainty: 0.1 },
    cornerHigh: { value: 10_000, unit: "Hz", uncertainty: 0.1 },
  };
  const path = sum(highPass(40), lowPass(12_000));
  /** With an uncertainty of 0.004 dB at every point, of which the path's own is this. */
  const shares = (own: (hz: number) => number) => {
    const after = curve(path, { uncertainty: grid.map(() => 0.004) });
    const before = curve(path, { uncertainty: grid.map(own) });
    const found = correctCorners(
      ends,
      {},
      { response: before },
      { response: after },
      { response: curve(() => 0) },
    );
    return ["cornerLow", "orderLow", "cornerHigh", "orderHigh"].map((id) => {
      const { common = Number.NaN, uncertainty } = found[id] as Reading;
      return common / uncertainty;
    });
  };

  it("is counted within two octaves of its end", () => {
    // All is the interface's between 80 Hz and 5 kHz, and nothing beyond.
    expect(shares((hz) => (hz > 80 && hz < 5000 ? 0 : 0.004))).toEqual([0, 0, 0, 0]);
    // At the low end everything is, at the high end nothing.
    expect(shares((hz) => (hz <= 80 ? 0 : 0.004))).toEqual([1, 1, 0, 0]);
    expect(shares((hz) => (hz >= 5000 ? 0 : 0.004))).toEqual([0, 0, 1, 1]);
  });

  it("is the root of its share of the squares", () => {
    // 0.004² less 0.0024² is 0.0032²: 0.8 of it.
    for (const one of shares(() => 0.0024)) expect(one).toBeCloseTo(0.8, 9);
    // A path cannot be less sure before than after: nothing is shared then.
    expect(shares(() => 0.005)).toEqual([0, 0, 0, 0]);
    // Of half of the points within two octaves.
    const within = grid.filter((hz) => hz <= 80).length;
    const [low] = shares((hz) => (hz <= 40 ? 0 : 0.004));
    expect(low).toBeCloseTo(Math.sqrt(grid.filter((hz) => hz <= 40).length / within), 9);
  });

  it("keeps the units of corner and order", () => {
    const response = curve(path);
    const found = correctCorners(
      ends,
      {},
      { response },
      { response },
      { response: curve(() => 0) },
    );
    expect(Object.keys(found)).toEqual(["cornerLow", "orderLow", "cornerHigh", "orderHigh"]);
    expect(found.cornerLow).toMatchObject({ unit: "Hz" });
    expect(found.orderLow).toMatchObject({ unit: "" });
    // Only the end that was made, or told why it was not.
    const { cornerHigh: _, ...low } = ends;
    expect(
      Object.keys(
        correctCorners(low, {}, { response }, { response }, { response: curve(() => 0) }),
      ),
    ).toEqual(["cornerLow", "orderLow"]);
  });
});

test("what an interface adds is taken off point by point, with its response", () => {
  const lg = (power: number) => 10 * Math.log10(power);
  const inputOf = (curves: InputCalibration["curves"]): InputCalibration => ({
    channel: 0,
    returns: 1,
    fullScale: { value: 22, unit: "dBu", uncertainty: 0 },
    readings: {},
    curves,
  });
  const flat = (db: number, more: Partial<Curve> = {}) =>
    curve(() => db, { uncertainty: grid.map(() => 0), ...more });
  const noise = flat(lg(2), { yUnit: "dBFS" });
  const own = flat(lg(0.5), { yUnit: "dBFS" });
  // 2 − 0.5 of it are the path's, 22 dB up.
  const plain = calibrateCurves({ noise }, { input: inputOf({ noise: own }) }, 1).noise;
  expect(plain.y[9]).toBeCloseTo(lg(1.5) + 22, 9);
  expect(plain.uncertainty[9]).toBeCloseTo(0, 9);
  // An interface that loses 0.4 dB may have lost it of the path's: from nothing to all of it.
  const lossy = inputOf({ noise: own, response: flat(-0.4) });
  const wide = calibrateCurves({ noise }, { input: lossy }, 1).noise;
  expect(wide.y[9]).toBeCloseTo(lg(1.5) + 22.2, 9);
  expect(wide.uncertainty[9]).toBeCloseTo(0.2, 9);
  // Twice as much of the output's: 0.5 to 1 of 2.
  const more = calibrateCurves({ noise }, { input: inputOf({ noise: own }) }, 2).noise;
  expect(more.y[9]).toBeCloseTo(lg(1 * 1.5) / 2 + 22, 9);
  // A curve that the interface has no counterpart of stays.
  expect(calibrateCurves({ response: noise }, { input: inputOf({}) }, 1).response.y).toEqual(
    noise.y.map((db) => db + (noise.yUnit === "dBFS" ? 0 : 22)),
  );
  // A bound stays a bound: 6 dB.
  const bound = flat(lg(2), { yUnit: "dBFS", uncertainty: grid.map(() => 6) });
  const kept = calibrateCurves({ noise: bound }, { input: inputOf({ noise: own }) }, 1).noise;
  expect(kept.y[9]).toBeCloseTo(lg(2) + 22, 9);
  expect(kept.uncertainty[9]).toBe(6);
});
