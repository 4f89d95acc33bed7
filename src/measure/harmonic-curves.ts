import { powerToDb } from "../dsp/decibels.js";
import { type Absent, isAbsent } from "./absence.js";
import type { CurveId } from "./curve-kinds.js";
import { boundDb } from "./is-bound.js";
import type { ReturnContext } from "./return-context.js";
import { computeResponse } from "./sweep.js";
import type { SweepAnalysis } from "./sweep-answer.js";
import { buildHarmonicGrid, getHighestHarmonicHz } from "./sweep-harmonics.js";
import type { Curve } from "./types.js";

/** Orders with a separate curve, which also count in `distortion`. */
const allOrders = [2, 3, 4, 5, 6, 7, 8, 9, 10] as const;
/** Numerical residue, decibels at 95 %. */
const methodDb = 0.01;

/** Curves of harmonics against frequency, in the order in which they are kept. */
export const harmonicCurveKinds: readonly {
  readonly id: CurveId;
  readonly make: (context: ReturnContext) => Curve | Absent;
}[] = [
  { id: "distortion", make: (context) => harmonicCurve(context, allOrders) },
  ...allOrders.map((order) => ({
    id: `harmonic${order}` as const,
    make: (context: ReturnContext) => harmonicCurve(context, [order]),
  })),
];

/** Powers of harmonics at one frequency, summed over orders; ratios to what was sent. */
interface Sum {
  power: number;
  spread: number;
  noiseSquares: number;
  /** Largest of any order. */
  mostNoise: number;
  leakage: number;
  /** Squared effect of leakage on the harmonics, for each order separately. */
  beating: number;
  method: number;
}

/**
 * Harmonics against frequency from the sweep, as root sum of squares of the given orders: decibels
 * relative to the fundamental, at frequencies of the fundamental. The curve ends where the lowest
 * order leaves the band; higher ones drop out earlier. `floor` is the limit of the method: noise,
 * and neighbours that reach into the gate. A point at its floor is an upper bound.
 *
 * @param orders rising
 * @returns the curve, or why there is none
 */
function harmonicCurve(context: ReturnContext, orders: readonly number[]): Curve | Absent {
  const answer = context.sweep();
  if (isAbsent(answer)) return answer;
  if (!answer.noise) return { absent: { code: "noise-unknown", of: "sweep" } };
  const x = buildHarmonicGrid(answer.sweep, orders[0]);
  const y: number[] = [];
  const uncertainty: number[] = [];
  const floor: number[] = [];
  for (const [k, hz] of x.entries()) {
    const fundamental = computeResponse(answer, hz).magnitude ** 2;
    if (!(fundamental > 0)) return { absent: { code: "sweep-gone" } };
    const point = figure(sumAt(answer, k, hz, orders), fundamental);
    y.push(point.value);
    uncertainty.push(point.uncertainty);
    floor.push(point.floor);
  }
  return { x, y, uncertainty, xUnit: "Hz", yUnit: "dB", floor };
}

/** Sums orders at point `k` of the grid, `hz`. */
function sumAt(
  { harmonics, sweep }: SweepAnalysis,
  k: number,
  hz: number,
  orders: readonly number[],
): Sum {
  const topHz = getHighestHarmonicHz(sweep);
  const sum: Sum = {
    power: 0,
    spread: 0,
    noiseSquares: 0,
    mostNoise: 0,
    leakage: 0,
    beating: 0,
    method: 0,
  };
  for (const { order, points } of harmonics) {
    if (!orders.includes(order) || order * hz > topHz) continue;
    const { power, noise, leakage, method } = points[k];
    const clear = Math.max(0, power - noise);
    sum.power += power - noise;
    // var |z|² = 2·A²·σ² + σ⁴ for a complex value in complex noise of power σ²
    sum.spread += 2 * clear * noise + noise * noise;
    sum.noiseSquares += noise * noise;
    sum.mostNoise = Math.max(sum.mostNoise, noise);
    sum.leakage += leakage;
    // As a voltage of any phase: up to 2·a·b.
    sum.beating += 4 * clear * leakage;
    sum.method += clear * method;
  }
  return sum;
}

function figure(sum: Sum, fundamental: number) {
  const power = Math.max(0, sum.power);
  const stdDev = Math.sqrt(sum.spread);
  // The floor without any harmonics: noise alone reaches it once in forty times.
  const least = (2 * Math.sqrt(sum.noiseSquares) + sum.leakage) / fundamental;
  const floor = powerToDb(Math.max(least, Number.MIN_VALUE));
  const doubt = Math.hypot(2 * stdDev, Math.sqrt(sum.beating), sum.method);
  if (power > 1.5 * doubt && power > sum.leakage) {
    return {
      value: powerToDb(power / fundamental),
      uncertainty: Math.hypot(methodDb, -powerToDb(1 - doubt / power)),
      floor,
    };
  }
  // Uses the scatter at the bound, not that of an estimate which noise may have made low.
  let bound = power;
  for (let pass = 0; pass < 6; pass++) {
    bound = power + 2 * Math.sqrt(2 * bound * sum.mostNoise + sum.noiseSquares);
  }
  bound = (Math.sqrt(bound) + Math.sqrt(sum.leakage)) ** 2;
  const value = powerToDb(Math.max(bound / fundamental, Number.MIN_VALUE));
  return { value, uncertainty: boundDb, floor: value };
}
