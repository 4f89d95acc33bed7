import { describe, expect, it } from "vitest";
import { fitRollOff, type RollOffPoint } from "../../src/dsp/roll-off.js";
import { gaussian } from "../helpers/noise.js";
import { slow } from "../helpers/slow.js";

// Expected values: closed forms of high-pass filters. A Butterworth filter of order n through the
// −3.01 dB and −10 dB points has (u₁₀/u₃)ⁿ = 9.

const halfPowerDb = 10 * Math.log10(2);

/** |H|⁻² of capacitors in a row. */
const capacitors =
  (...corners: readonly number[]) =>
  (hz: number) =>
    corners.reduce((loss, corner) => loss * (1 + (corner / hz) ** 2), 1);

/** |H|⁻² of a Butterworth filter. */
const butterworth = (corner: number, order: number) => (hz: number) =>
  1 + (corner / hz) ** (2 * order);

function pointsOf(loss: (hz: number) => number, stdDev = 1e-4, seed = 0): RollOffPoint[] {
  const next = gaussian(seed + 1);
  return Array.from({ length: 60 }, (_, k) => {
    const hz = 8 * 2 ** (k / 10);
    const noise = seed === 0 ? 0 : stdDev * next();
    return { u: hz ** -2, db: -10 * Math.log10(loss(hz)) + noise, stdDev };
  });
}

/** Frequency at which a loss is reached. */
function where(loss: (hz: number) => number, power: number): number {
  let low = 0.01;
  let high = 1e4;
  for (let k = 0; k < 80; k++) {
    const middle = Math.sqrt(low * high);
    if (loss(middle) > power) low = middle;
    else high = middle;
  }
  return low;
}

function orderOf(loss: (hz: number) => number): number {
  return Math.log(9) / (2 * Math.log(where(loss, 2) / where(loss, 10)));
}

const hertz = (lnU: number) => Math.exp(-lnU / 2);

describe("fitRollOff", () => {
  it("gives corner and order of Butterworth filters of first to third order", () => {
    for (const order of [1, 2, 3]) {
      const fit = fitRollOff(pointsOf(butterworth(40, order)), -halfPowerDb);
      expect(hertz(fit?.corner.value ?? 0)).toBeCloseTo(40, 2);
      expect(fit?.order.value).toBeCloseTo(order, 2);
      expect(fit?.restDb).toBeLessThan(1e-4);
    }
  });

  it("takes what only begins to fall, and then ever faster, for steeper than third order", () => {
    // At 8 Hz, the lowest point, a Butterworth filter of tenth order at 6 Hz has lost 14 mdB.
    const steep = fitRollOff(pointsOf(butterworth(6, 10)), -halfPowerDb);
    expect(steep?.steepShare).toBeGreaterThan(0.9);
    const one = fitRollOff(pointsOf(capacitors(6)), -halfPowerDb);
    expect(one?.steepShare).toBeLessThan(0.1);
  });

  it("puts two capacitors of one corner between first and second order, at 1.33", () => {
    // −3.01 dB of 1/(1+r)² at r = √2 − 1, −10 dB at √10 − 1: n = ln 9 / ln(2.1623/0.41421) = 1.3294
    const fit = fitRollOff(pointsOf(capacitors(30, 30)), -halfPowerDb);
    expect(fit?.order.value).toBeCloseTo(1.3294, 2);
    expect(hertz(fit?.corner.value ?? 0)).toBeCloseTo(30 / Math.sqrt(Math.SQRT2 - 1), 1);
  });

  it("finds a corner below the points from its droop, and doubts whether one capacitor makes it", () => {
    const fit = fitRollOff(pointsOf(butterworth(2.5, 1), 3e-3), -halfPowerDb);
    const corner = fit && hertz(fit.corner.value);
    expect(corner).toBeGreaterThan(2.4);
    expect(corner).toBeLessThan(2.9);
    expect(Math.abs((corner ?? 0) - 2.5)).toBeLessThan((corner ?? 0) * (fit?.corner.stdDev ?? 0));
    expect(fit?.order.stdDev).toBeGreaterThan(0.05);
  });

  it("holds corner and order of random filters within its 95 % interval", slow, () => {
    const next = gaussian(77);
    const uniform = () => Math.abs(next()) % 1;
    let corners = 0;
    let orders = 0;
    const runs = 300;
    for (let run = 1; run <= runs; run++) {
      const first = 4 * 2 ** (4 * uniform());
      const losses = [
        capacitors(first),
        capacitors(first, 4 * 2 ** (4 * uniform())),
        butterworth(2 * first, 2),
        butterworth(2 * first, 3),
        capacitors(1 + 3 * uniform(), 1 + 3 * uniform(), first),
      ];
      const loss = losses[run % losses.length];
      const fit = fitRollOff(pointsOf(loss, 0.02, run), -halfPowerDb);
      if (!fit) continue;
      const off = fit.corner.value + 2 * Math.log(where(loss, 2));
      if (Math.abs(off) <= 2 * fit.corner.stdDev) corners++;
      if (Math.abs(fit.order.value - orderOf(loss)) <= 2 * fit.order.stdDev) orders++;
    }
    expect(corners / runs).toBeGreaterThan(0.93);
    expect(orders / runs).toBeGreaterThan(0.93);
  });

  it("holds both for rows of three to six unequal capacitors whose corner lies beyond the points", () => {
    const next = gaussian(78);
    const uniform = () => Math.abs(1000 * next()) % 1;
    let corners = 0;
    let orders = 0;
    const runs = 160;
    for (let run = 1; run <= runs; run++) {
      const row = Array.from({ length: 3 + (run % 4) }, () => 0.4 * 10 ** uniform());
      const loss = capacitors(...row);
      const fit = fitRollOff(pointsOf(loss, 1e-3, run), -halfPowerDb);
      const off = (fit?.corner.value ?? Number.NaN) + 2 * Math.log(where(loss, 2));
      if (Math.abs(off) <= 2 * (fit?.corner.stdDev ?? 0)) corners++;
      const order = fit?.order ?? { value: 0, stdDev: 0 };
      if (Math.abs(order.value - orderOf(loss)) <= 2 * order.stdDev) orders++;
    }
    expect(corners / runs).toBeGreaterThan(0.93);
    expect(orders / runs).toBeGreaterThan(0.9);
  });

  it("finds no corner in a flat response, and has no answer to fewer than eight points", () => {
    const flat = fitRollOff(
      pointsOf(() => 1, 3e-3, 5),
      -halfPowerDb,
    );
    expect(flat === undefined || flat.fallDb < 0.01).toBe(true);
    expect(fitRollOff(pointsOf(butterworth(40, 1)).slice(0, 7), -halfPowerDb)).toBeUndefined();
  });
});
