import { describe, expect, it } from "vitest";
import {
  computeNoiseRise,
  computeNoiseSlope,
  createBell,
  createHighRollOff,
  createHighShelf,
  createLostCapacitance,
  createLowCut,
  createLowRollOff,
  createLowShelf,
  fitBell,
  fitFallingShelf,
  fitLevelBreak,
  fitLostCapacitance,
  fitLowCut,
  fitRollOffShape,
  fitShelf,
  fitSlewLimit,
  type Shape,
} from "../../src/diagnose/shapes.js";

// Expected: magnitudes of transfer functions written as complex numbers, which the closed forms of the
// program do not use; U. Tietze, C. Schenk, "Electronic Circuits" (filters, equalisers).

type Complex = readonly [re: number, im: number];
const sizeDb = (over: Complex, under: Complex) =>
  20 * Math.log10(Math.hypot(...over) / Math.hypot(...under));
/** Decibels relative to 1 kHz. */
const relative = (db: (hz: number) => number) => (hz: number) => db(hz) - db(1000);

/** RC high-pass: jx/(1 + jx). */
const highPass1 = (fc: number) => relative((hz) => sizeDb([0, hz / fc], [1, hz / fc]));
/** Second-order Butterworth high-pass: −x²/(1 − x² + j√2x). */
const highPass2 = (fc: number) =>
  relative((hz) => {
    const x = hz / fc;
    return sizeDb([-x * x, 0], [1 - x * x, Math.SQRT2 * x]);
  });
const lowPass1 = (fc: number) => relative((hz) => sizeDb([1, 0], [1, hz / fc]));
const lowPass2 = (fc: number) =>
  relative((hz) => {
    const x = hz / fc;
    return sizeDb([1, 0], [1 - x * x, Math.SQRT2 * x]);
  });
/** First-order low shelf: (jx + a)/(jx + 1), a the lift at 0 Hz. */
const lowShelf1 = (fc: number, db: number) =>
  relative((hz) => sizeDb([10 ** (db / 20), hz / fc], [1, hz / fc]));
/** First-order high shelf: (1 + jax)/(1 + jx). */
const highShelf1 = (fc: number, db: number) =>
  relative((hz) => sizeDb([1, (10 ** (db / 20) * hz) / fc], [1, hz / fc]));
/** Bell: (1 − x² + jax/Q)/(1 − x² + jx/Q). */
const bell = (f0: number, q: number, db: number) =>
  relative((hz) => {
    const x = hz / f0;
    const lift: Complex = [1 - x * x, (10 ** (Math.abs(db) / 20) * x) / q];
    const size = sizeDb(lift, [1 - x * x, x / q]);
    return db < 0 ? -size : size;
  });

const frequencies = [20, 35, 100, 315, 700, 1000, 1600, 5000, 12_000, 20_000];

function expectShape(shape: Shape, truth: (hz: number) => number) {
  for (const hz of frequencies) expect(shape(hz)).toBeCloseTo(truth(hz), 9);
}

describe("shapes", () => {
  it.each([30, 400, 3000])("roll-offs with a corner at %i Hz", (corner) => {
    expectShape(createLowRollOff(corner, 1), highPass1(corner));
    expectShape(createLowRollOff(corner, 2), highPass2(corner));
    expectShape(createHighRollOff(corner, 1), lowPass1(corner));
    expectShape(createHighRollOff(corner, 2), lowPass2(corner));
  });

  it.each([6, -9])("shelves of %i dB", (db) => {
    expectShape(createLowShelf(150, db), lowShelf1(150, db));
    expectShape(createHighShelf(4000, db), highShelf1(4000, db));
  });

  it("second-order shelves: their ends, and half way between at the geometric middle", () => {
    // |H|² = (1 + g·x⁴)/(1 + x⁴): g far below, 1 far above; at x⁴ = 1/√g it is √g
    const db = 8;
    const low = createLowShelf(200, db, 2);
    const middle = 200 * 10 ** (db / 10 / 8);
    expect(low(0.2) - low(200_000)).toBeCloseTo(db, 6);
    expect(low(middle) - low(200_000)).toBeCloseTo(db / 2, 6);
    const high = createHighShelf(5000, db, 2);
    expect(high(5e6) - high(5)).toBeCloseTo(db, 6);
    expect(high(5000 / 10 ** (db / 10 / 8)) - high(5)).toBeCloseTo(db / 2, 6);
  });

  it.each([
    [300, 1, 6],
    [2000, 0.5, -8],
    [900, 3, 4],
  ])("bells at %i Hz, Q %d, %i dB", (f0, q, db) => {
    expectShape(createBell(f0, q, db), bell(f0, q, db));
  });
});

/** A difference as measured: 1/24 octaves from 20 Hz to 20 kHz. */
function curveOf(truth: (hz: number) => number) {
  const x = Array.from({ length: 240 }, (_, k) => 20 * 2 ** (k / 24));
  return { x, y: x.map(truth) };
}

describe("fits find what a curve without noise was made of", () => {
  it.each([
    ["low", 1, 45, highPass1],
    ["low", 2, 90, highPass2],
    ["low", 1, 3000, highPass1],
    ["high", 1, 9000, lowPass1],
    ["high", 2, 15_000, lowPass2],
    ["high", 1, 60_000, lowPass1],
  ] as const)("a %s roll-off of order %i at %i Hz", (side, order, corner, truth) => {
    const fit = fitRollOffShape(curveOf(truth(corner)), side, order);
    expect(Math.abs(fit.hz / corner - 1)).toBeLessThan(1e-3);
    expect(fit.restDb).toBeLessThan(1e-3);
    expect(fit.db).toBe(0);
    expect(fit.shape(30)).toBeCloseTo(truth(corner)(30), 2);
  });

  it("a roll-off of the wrong order leaves a rest", () => {
    expect(fitRollOffShape(curveOf(highPass2(90)), "low", 1).restDb).toBeGreaterThan(0.3);
  });

  it.each([
    ["low", 120, 6, lowShelf1],
    ["low", 200, -9, lowShelf1],
    ["high", 5000, 4, highShelf1],
    ["high", 3000, -6, highShelf1],
  ] as const)("a %s shelf at %i Hz of %i dB", (side, corner, db, truth) => {
    const fit = fitShelf(curveOf(truth(corner, db)), side);
    expect(Math.abs(fit.hz / corner - 1)).toBeLessThan(0.1);
    expect(Math.abs(fit.db / db - 1)).toBeLessThan(0.1);
    expect(fit.restDb).toBeLessThan(0.05);
  });

  it.each([
    [100, -6],
    [400, -14],
  ])("a falling shelf at %i Hz of %i dB", (corner, db) => {
    const fit = fitFallingShelf(curveOf(lowShelf1(corner, db)));
    expect(Math.abs(fit.hz / corner - 1)).toBeLessThan(0.1);
    expect(Math.abs(fit.db / db - 1)).toBeLessThan(0.1);
    expect(fit.restDb).toBeLessThan(0.05);
  });

  it.each([
    [300, 1.2, 6],
    [3000, 0.8, -5],
    [120, 2, 8],
  ])("a bell at %i Hz, Q %d, of %i dB", (f0, q, db) => {
    const fit = fitBell(curveOf(bell(f0, q, db)));
    expect(Math.abs(fit.hz / f0 - 1)).toBeLessThan(0.05);
    expect(Math.abs(fit.db / db - 1)).toBeLessThan(0.1);
    expect(fit.restDb).toBeLessThan(0.1);
  });
});

describe("what a shape does to noise", () => {
  it("is the slope of a straight line, whatever its level", () => {
    expect(computeNoiseSlope((hz) => 3 * Math.log2(hz) + 7)).toBeCloseTo(3, 9);
    expect(computeNoiseSlope((hz) => -2 * Math.log2(hz / 100))).toBeCloseTo(-2, 9);
    expect(computeNoiseSlope(() => 5)).toBeCloseTo(0, 9);
  });

  it("counts each third octave of a slope by its width", () => {
    // By hand: least squares of a step at 400 Hz, (Σw·t·y)/(Σw·t²) with t = log2 f − its weighted mean.
    const x = [25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400];
    const sum = (of: (hz: number) => number) => x.reduce((total, hz) => total + of(hz), 0);
    const mean = sum((hz) => hz * Math.log2(hz)) / 1839.5;
    const expected =
      (400 * (Math.log2(400) - mean)) / sum((hz) => hz * (Math.log2(hz) - mean) ** 2);
    expect(computeNoiseSlope((hz) => (hz === 400 ? 1 : 0))).toBeCloseTo(expected, 12);
  });

  it("is the power that passes over all that comes, of what is known of it", () => {
    const lifted = (hz: number) => (hz === 1000 ? 10 : 0);
    // 1 and 0.1 come; 1 and 10 · 0.1 pass
    const noise = { x: [100, 500, 1000], db: [0, undefined, -10] };
    expect(computeNoiseRise(lifted, noise)).toBeCloseTo(10 * Math.log10(2 / 1.1), 12);
    expect(computeNoiseRise(lifted, { x: [100, 1000], db: [undefined, undefined] })).toBe(0);
  });

  it("takes noise for white in third octaves from 25 Hz to 20 kHz where nothing is known", () => {
    // Thirty bands, each 10^0.1 times the one below: the highest has this share of all.
    const share = (1 - 10 ** -0.1) / (1 - 10 ** -3);
    expect(computeNoiseRise((hz) => (hz > 19_900 ? 10 : 0))).toBeCloseTo(
      10 * Math.log10(1 + 9 * share),
      9,
    );
    expect(computeNoiseRise((hz) => (hz < 25.2 ? 40 : 0))).toBeCloseTo(
      10 * Math.log10(1 + 9999 * share * 10 ** -2.9),
      9,
    );
  });
});

describe("fitted shapes", () => {
  const power = (db: number) => 10 * Math.log10(db);

  it("say their own level at 1 kHz", () => {
    // −10·lg(1 + (fc/1000)^2n), and with (1000/fc) at the other end
    expect(fitRollOffShape(curveOf(highPass1(3000)), "low", 1).at1kDb).toBeCloseTo(-power(10), 2);
    expect(fitRollOffShape(curveOf(highPass2(500)), "low", 2).at1kDb).toBeCloseTo(
      -power(1 + 0.5 ** 4),
      2,
    );
    expect(fitRollOffShape(curveOf(lowPass1(2000)), "high", 1).at1kDb).toBeCloseTo(-power(1.25), 2);
    // A low shelf of g at f: (g·x² + 1)/(x² + 1), x = corner/1000
    const { at1kDb, db, hz } = fitFallingShelf(curveOf(lowShelf1(400, -12)));
    const g = 10 ** (db / 10);
    expect(at1kDb).toBeCloseTo(power((1 + (g * hz ** 2) / 1e6) / (1 + hz ** 2 / 1e6)), 9);
    expect(at1kDb).toBeLessThan(-0.4);
  });

  it("look at every fourth point of the grid, from the third on", () => {
    const { x, y } = curveOf(highPass1(100));
    const spoiled = { x, y: y.map((db, k) => (k % 4 === 2 ? db : 60)) };
    const fit = fitRollOffShape(spoiled, "low", 1);
    expect(fit.hz).toBeCloseTo(100, 0);
    expect(fit.restDb).toBeLessThan(1e-3);
    const off = { x, y: y.map((db, k) => (k === 2 ? db + 10 : db)) };
    // one of sixty points lies off by 10
    expect(fitRollOffShape(off, "high", 1).restDb).toBeGreaterThan(1);
  });

  it("look at every other point below 20 Hz, from the first on", () => {
    const low = [10, 11.5, 13.2, 15.2, 17.4];
    const x = [...low, ...curveOf(() => 0).x];
    const truth = highPass1(12);
    // 10, 13.2 and 17.4 Hz, then the grid from the second point behind them: 2 + 4k
    const isSeen = (k: number) => (k < 6 ? k % 2 === 0 : k % 4 === 2);
    const y = x.map((hz, k) => (isSeen(k) ? truth(hz) : -60));
    const fit = fitRollOffShape({ x, y }, "low", 1);
    expect(fit.hz).toBeCloseTo(12, 1);
    expect(fit.restDb).toBeLessThan(1e-3);
  });

  it("leave nothing of a curve without points", () => {
    expect(fitRollOffShape({ x: [], y: [] }, "low", 1).restDb).toBe(0);
    expect(fitLevelBreak({ x: [], y: [] })).toBeUndefined();
  });

  it("are sought once for a curve, and for either end of it", () => {
    const curve = curveOf(lowShelf1(100, 6));
    expect(fitShelf(curve, "low")).toBe(fitShelf(curve, "low"));
    expect(fitShelf(curve, "high")).not.toBe(fitShelf(curve, "low"));
    expect(fitShelf(curveOf(lowShelf1(100, 6)), "low")).not.toBe(fitShelf(curve, "low"));
  });

  it.each([
    ["low", 100, 9, createLowShelf],
    ["low", 100, -9, createLowShelf],
    ["high", 5000, 9, createHighShelf],
    ["high", 5000, -9, createHighShelf],
  ] as const)("a %s shelf of second order at %i Hz of %i dB", (side, corner, db, create) => {
    const fit = fitShelf(curveOf(create(corner, db, 2)), side);
    expect(Math.abs(fit.db / db - 1)).toBeLessThan(0.1);
    expect(fit.restDb).toBeLessThan(0.1);
    expect(fit.at1kDb).toBeCloseTo(create(fit.hz, fit.db, 2)(1000) - fit.shape(1000), 1);
  });

  it("shelf of what is flat is hardly one", () => {
    const { db, restDb } = fitShelf(
      curveOf(() => 0),
      "low",
    );
    expect(db).toBeGreaterThan(0);
    expect(restDb).toBeLessThan(0.5);
  });

  it.each([
    [60, 0.5],
    [120, 1 / Math.sqrt(3)],
    [200, Math.SQRT1_2],
    [80, 1],
  ])("a low cut of second order at %i Hz with a Q of %d", (corner, q) => {
    // −x²/(1 − x² + jx/Q)
    const truth = relative((hz) => {
      const x = hz / corner;
      return sizeDb([-x * x, 0], [1 - x * x, x / q]);
    });
    const fit = fitLowCut(curveOf(truth));
    expect(fit).toMatchObject({ order: 2, db: 0, hz: expect.closeTo(corner, 0) });
    expect(fit.restDb).toBeLessThan(1e-2);
    expect(fit.shape(30)).toBeCloseTo(truth(30), 1);
    expect(fit.at1kDb).toBeCloseTo(createLowCut(corner, q, 2)(1e9) * -1, 2);
  });

  it.each([
    [70, 0.5],
    [150, 1],
  ])("a low cut of third order at %i Hz with a Q of %d", (corner, q) => {
    // the same times jx/(1 + jx)
    const truth = relative((hz) => {
      const x = hz / corner;
      return sizeDb([-x * x, 0], [1 - x * x, x / q]) + sizeDb([0, x], [1, x]);
    });
    const fit = fitLowCut(curveOf(truth));
    expect(fit).toMatchObject({ order: 3, hz: expect.closeTo(corner, 0) });
    expect(fit.restDb).toBeLessThan(1e-2);
  });

  it("lost capacitance by how far the corner moved", () => {
    // 10·lg((f² + f0²)/(f² + f0² + m²))
    const lost = (m: number, f0: number) =>
      relative((hz) => power((hz ** 2 + f0 ** 2) / (hz ** 2 + f0 ** 2 + m ** 2)));
    for (const [m, f0] of [
      [50, 0],
      [300, 20],
      [2000, 5],
    ]) {
      const fit = fitLostCapacitance(curveOf(lost(m, f0)), f0);
      expect(fit.hz / m).toBeCloseTo(1, 3);
      expect(fit).toMatchObject({ db: 0, restDb: expect.closeTo(0, 2) });
      expect(fit.at1kDb).toBeCloseTo(power((1e6 + f0 ** 2) / (1e6 + f0 ** 2 + m ** 2)), 2);
      expectShape(createLostCapacitance(m, f0), lost(m, f0));
    }
  });

  it("slew limit: nothing below, a triangle's 6 dB per octave from half an octave above", () => {
    const limited = (limit: number) => (hz: number) =>
      hz < limit * 2 ** 0.5 ? 0 : 20 * Math.log10((4 / Math.PI) * (limit / hz));
    const { hz, shape, db, restDb, at1kDb } = fitSlewLimit(curveOf(limited(5000)));
    expect(Math.abs(hz / 5000 - 1)).toBeLessThan(0.02);
    expect([db, at1kDb]).toEqual([0, 0]);
    expect(restDb).toBeLessThan(0.2);
    expect(shape(hz / 2)).toBe(0);
    expect(shape(hz * 0.999)).toBe(0);
    expect(shape(hz * 4)).toBeCloseTo(20 * Math.log10(1 / Math.PI), 9);
    expect(shape(hz * 8)).toBeCloseTo(20 * Math.log10(0.5 / Math.PI), 9);
    // The edge is a straight line in octaves: half of its 0.91 dB at a quarter of one.
    const edge = 20 * Math.log10(4 / (Math.PI * Math.SQRT2));
    expect(shape(hz * 2 ** 0.25)).toBeCloseTo(edge / 2, 9);
    expect(shape(hz * Math.SQRT2 * 1.0001)).toBeCloseTo(edge, 2);
  });

  it.each([
    [60, 1, 10],
    [9000, 3, -3],
    [1000, 1, 6],
    [1500, 3.5, -10],
    [400, 0.3, 4],
  ])("a bell at %i Hz, Q %d, of %i dB", (f0, q, db) => {
    const truth = bell(f0, q, db);
    const fit = fitBell(curveOf(truth));
    expect(Math.abs(fit.hz / f0 - 1)).toBeLessThan(0.06);
    expect(Math.abs(fit.db / db - 1)).toBeLessThan(0.15);
    expect(fit.restDb).toBeLessThan(0.15);
    expect(fit.shape(f0) + fit.at1kDb).toBeCloseTo(db, 0);
  });

  it.each([
    [30, -20],
    [800, -3],
  ])("a falling shelf at %i Hz of %i dB", (corner, db) => {
    const fit = fitFallingShelf(curveOf(lowShelf1(corner, db)));
    expect(Math.abs(fit.hz / corner - 1)).toBeLessThan(0.05);
    expect(Math.abs(fit.db / db - 1)).toBeLessThan(0.05);
    expect(fit.restDb).toBeLessThan(0.02);
  });
});

describe("fitLevelBreak", () => {
  const gridOf = (y: readonly number[], from = 20) => ({
    x: y.map((_, k) => from * 2 ** (k / 24)),
    y,
  });
  const flat = (n: number, db: number) => Array.from({ length: n }, () => db);

  it("finds the one stretch that leaves nothing", () => {
    // Four points beside an edge and two within it do not count, so that ramps of six leave one.
    const ramp = [-0.25, -0.5, -0.75, -1, -1.25, -1.5];
    const y = [...flat(12, 0), ...ramp, ...flat(10, -2), ...ramp, ...flat(14, 0)];
    const curve = gridOf(y);
    expect(fitLevelBreak(curve)).toEqual({
      fromHz: curve.x[16],
      toHz: curve.x[29],
      db: -2,
      restDb: 0,
    });
    expect(fitLevelBreak(curve)).toBe(fitLevelBreak(curve));
  });

  it("leaves out what lies below 20 Hz", () => {
    // Twelve octave steps of 1/24 below; the rest is as above.
    const ramp = [0.25, 0.5, 0.75, 1, 1.25, 1.5];
    const y = [...flat(4, 9), ...flat(12, 0), ...ramp, ...flat(10, 2), ...ramp, ...flat(14, 0)];
    const x = y.map((_, k) => 20 * 2 ** ((k - 4) / 24));
    x[4] = 20;
    expect(fitLevelBreak({ x, y })).toEqual({ fromHz: x[20], toHz: x[33], db: 2, restDb: 0 });
  });

  it("says by how much the rest misses", () => {
    // Eight points at either end and six between them: of these two count, of those four each.
    // −3 and −1 about −2: 2; eight ones: 8; ten points: √(10/10).
    const side = [1, 1, 1, 1, 99, 99, 99, 99];
    const y = [...side, 99, 99, -3, -1, 99, 99, ...side.toReversed()];
    const curve = gridOf(y);
    expect(fitLevelBreak(curve)).toEqual({
      fromHz: curve.x[8],
      toHz: curve.x[13],
      db: -2,
      restDb: 1,
    });
  });

  it("needs eight points at either end and six between them", () => {
    expect(fitLevelBreak(gridOf(flat(22, 0)))).toBeDefined();
    expect(fitLevelBreak(gridOf(flat(21, 0)))).toBeUndefined();
    expect(fitLevelBreak(gridOf(flat(40, 0), 1))).toBeUndefined();
  });
});
