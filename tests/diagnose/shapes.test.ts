import { describe, expect, it } from "vitest";
import {
  createBell,
  createHighRollOff,
  createHighShelf,
  createLowRollOff,
  createLowShelf,
  fitBell,
  fitFallingShelf,
  fitRollOffShape,
  fitShelf,
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
