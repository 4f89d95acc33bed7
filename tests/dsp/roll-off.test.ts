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

  it.each<[string, (hz: number) => number]>([
    ["fourth order", butterworth(40, 4)],
    ["sixth order", butterworth(40, 6)],
    ["ninth order", butterworth(40, 9)],
    ["order 14", butterworth(40, 14)],
  ])("knows a Butterworth filter of %s, and that it is steep", (_, loss) => {
    const fit = fitRollOff(pointsOf(loss), -halfPowerDb);
    expect(hertz(fit?.corner.value ?? 0)).toBeCloseTo(40, 2);
    expect(fit?.order.value).toBeCloseTo(orderOf(loss), 2);
    expect(fit?.restDb).toBeLessThan(1e-4);
    expect(fit?.steepShare).toBeCloseTo(1, 6);
    expect(fit?.fallDb).toBeCloseTo(10 * Math.log10(loss(8)), 2);
  });

  it.each([
    ["four", [0.3, 0.3, 0.3]],
    ["four", [0.5, 0.4, 0.3]],
    ["four", [0.7, 0.5, 0.4]],
    ["four", [1, 0.6, 0.4]],
    ["four", [1, 1, 1]],
    ["six", [0.4, 0.4, 0.4, 0.4, 0.4]],
    ["six", [0.8, 0.6, 0.5, 0.4, 0.3]],
    ["six", [1, 1, 1, 1, 1]],
  ])("knows %s capacitors in a row of corners 1 and %j", (_, others) => {
    const loss = capacitors(60, ...others.map((ratio) => 60 * ratio));
    const fit = fitRollOff(pointsOf(loss), -halfPowerDb);
    expect(hertz(fit?.corner.value ?? 0)).toBeCloseTo(where(loss, 2), 2);
    expect(fit?.order.value).toBeCloseTo(orderOf(loss), 2);
    expect(fit?.restDb).toBeLessThan(1e-4);
    expect(fit?.steepShare).toBeLessThan(1e-6);
  });

  it.each([0.5, 0.6, Math.SQRT1_2, 0.85, 1, 1.3])("knows a second-order filter of Q %f", (q) => {
    // |H|⁻² = 1 + (1/Q² − 2)·x + x² with x = (f₀/f)²; above Q = 0.707 the response rises first.
    const loss = (hz: number) => {
      const x = (40 / hz) ** 2;
      return 1 + (1 / q ** 2 - 2) * x + x * x;
    };
    const fit = fitRollOff(pointsOf(loss), -halfPowerDb);
    expect(hertz(fit?.corner.value ?? 0)).toBeCloseTo(where(loss, 2), 2);
    expect(fit?.order.value).toBeCloseTo(orderOf(loss), 2);
    expect(fit?.steepShare).toBeLessThan(1e-6);
  });

  it("moves ln u with the unit of u, and nothing else", () => {
    const points = pointsOf(capacitors(40), 0.01, 3);
    const fit = fitRollOff(points, -halfPowerDb);
    const milli = fitRollOff(
      points.map((p) => ({ ...p, u: 1e6 * p.u })),
      -halfPowerDb,
    );
    expect(milli?.corner.value).toBeCloseTo((fit?.corner.value ?? 0) + Math.log(1e6), 9);
    expect(milli?.corner.stdDev).toBeCloseTo(fit?.corner.stdDev ?? 0, 9);
    expect(milli?.order.value).toBeCloseTo(fit?.order.value ?? 0, 9);
    expect(milli?.fallDb).toBeCloseTo(fit?.fallDb ?? 0, 9);
  });

  it("looks for the level asked for, whatever the level of the flat part", () => {
    const loss = capacitors(40);
    const raised = pointsOf(loss).map((p) => ({ ...p, db: p.db + 5 }));
    const at = (points: RollOffPoint[], db: number) =>
      hertz(fitRollOff(points, db)?.corner.value ?? 0);
    // 1 + (40/f)² = 10^0.1 at 1 dB, 10^0.6 at 6 dB.
    expect(at(raised, 5 - halfPowerDb)).toBeCloseTo(40, 2);
    expect(at(raised, 4)).toBeCloseTo(40 / Math.sqrt(10 ** 0.1 - 1), 1);
    expect(at(raised, -1)).toBeCloseTo(40 / Math.sqrt(10 ** 0.6 - 1), 2);
    expect(fitRollOff(raised, 5.1)).toBeUndefined();
  });

  describe("of one capacitor with errors of ±10 mdB in turn at 62 points", () => {
    const error = 0.01;
    const points = (stdDev: number): RollOffPoint[] =>
      Array.from({ length: 62 }, (_, k) => {
        const hz = 8 * 2 ** (k / 10);
        return {
          u: hz ** -2,
          db: -10 * Math.log10(capacitors(40)(hz)) + error * (-1) ** k,
          stdDev,
        };
      });
    // No smooth curve follows errors that change sign from point to point: 62 points, two parameters.
    const freedom = 60;

    it("gives what is left, and how much more that is than the deviations allow", () => {
      const fit = fitRollOff(points(error / 2), -halfPowerDb);
      expect(fit?.restDb).toBeCloseTo(error, 4);
      expect(fit?.excess).toBeCloseTo((2 ** 2 * 62) / freedom, 1);
      // χ² of 60 degrees of freedom is below 99.607 in 999 of 1000 (Abramowitz and Stegun, table 26.8).
      expect(fit?.mostExcess).toBeCloseTo(99.607 / freedom, 2);
      expect(fit?.fallDb).toBeCloseTo(10 * Math.log10(1 + 5 ** 2), 2);
    });

    it("gives the corner's deviation of least squares, by Birge's ratio where they are larger", () => {
      // Level and ln u of the corner: slopes 1 and (10/ln 10)·x/(1 + x), x = u/u₀; where −3.01 dB of
      // 0 dB is reached moves by −1/slope there, slope (10/ln 10)/2, for each dB of level too.
      const perNeper = 10 / Math.LN10;
      const slopes = points(1).map(({ u }) => (perNeper * u * 40 ** 2) / (1 + u * 40 ** 2));
      const sum = slopes.reduce((a, b) => a + b, 0);
      const squares = slopes.reduce((a, b) => a + b * b, 0);
      const determinant = 62 * squares - sum * sum;
      const [level, corner, both] = [squares, 62, -sum].map((one) => one / determinant);
      const perDb = 2 / perNeper;
      const variance = corner + perDb ** 2 * level + 2 * perDb * both;
      for (const [stdDev, birge] of [
        [error / 2, 2],
        [error * 2, 1],
      ]) {
        const fit = fitRollOff(points(stdDev), -halfPowerDb);
        const expected = stdDev * birge * Math.sqrt((variance * 62) / (birge > 1 ? freedom : 62));
        const ratio = (fit?.corner.stdDev ?? 0) / expected;
        // Models with more parameters count a little, which are less sure of it.
        expect(ratio).toBeGreaterThan(0.99);
        expect(ratio).toBeLessThan(1.35);
      }
    });

    it("widens it where neighbours err alike: by √((1 + ρ)/(1 − ρ)) for ρ between them", () => {
      const alike = (run: number) =>
        points(error).map((p, k) => ({
          ...p,
          db: p.db - error * (-1) ** k + error * (-1) ** Math.floor(k / run),
        }));
      // Of errors that change sign every third point, two pairs of three are alike: ρ = 1/3.
      const [one, three] = [1, 3].map(
        (run) => fitRollOff(alike(run), -halfPowerDb)?.corner.stdDev ?? 0,
      );
      expect(three / one).toBeGreaterThan(1.25);
      expect(three / one).toBeLessThan(1.6);
    });
  });

  it("is less sure of a corner beyond the points by 1 % a neper, and of the order by 0.5 %", () => {
    const [inside, beyond] = [40, 3].map((corner) =>
      fitRollOff(pointsOf(capacitors(corner), 1e-6), -halfPowerDb),
    );
    // Of one capacitor the order is known but for filters between the shapes; −10 dB is at nine times u₃.
    expect(inside?.corner.stdDev).toBeLessThan(1e-4);
    expect(inside?.order.stdDev).toBeGreaterThan(0.0049);
    expect(inside?.order.stdDev).toBeLessThan(0.0055);
    const nepers = 2 * Math.log(8 / 3);
    expect(beyond?.corner.stdDev).toBeGreaterThan(0.01 * nepers * 0.99);
    expect(beyond?.corner.stdDev).toBeLessThan(0.01 * nepers * 1.3);
    const further = 0.005 + 0.01 * (nepers + Math.log(9));
    expect(beyond?.order.stdDev).toBeGreaterThan(further * 0.99);
    expect(beyond?.order.stdDev).toBeLessThan(further * 1.5);
  });

  it("finds no corner in a flat response, and has no answer to fewer than eight points", () => {
    const flat = fitRollOff(
      pointsOf(() => 1, 3e-3, 5),
      -halfPowerDb,
    );
    expect(flat === undefined || flat.fallDb < 0.01).toBe(true);
    const eight = pointsOf(butterworth(40, 1)).filter((_, k) => k % 8 === 0);
    expect(eight).toHaveLength(8);
    expect(hertz(fitRollOff(eight, -halfPowerDb)?.corner.value ?? 0)).toBeCloseTo(40, 1);
    expect(fitRollOff(eight.slice(1), -halfPowerDb)).toBeUndefined();
  });
});
