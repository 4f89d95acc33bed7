import type { ResponseDifference } from "./case.js";

/** A roll-off fitted to how a path differs from its siblings. */
export interface RollOff {
  /** 1 for a single capacitor, 2 or 3 for a filter made on purpose. */
  readonly order: number;
  readonly cornerHz: number;
  /** R.m.s. of what the model leaves, decibels. */
  readonly restDb: number;
  /** The same for the best model of each order, index 0 for the first. */
  readonly restByOrderDb: readonly number[];
}

const orders = [1, 2, 3];

/**
 * Fits −10·log₁₀(1 + (fc/f)^(2n)), n = 1, 2, 3, a single pole's or a Butterworth filter's
 * magnitude, to the low end of a response difference.
 *
 * @returns the order that fits best; undefined without points or without a loss
 */
export function fitLowRollOff(difference: ResponseDifference): RollOff | undefined {
  return fitRollOff(difference, 0, 1000, 4, 1000, (hz, corner) => corner / hz);
}

/** The same for the high end, −10·log₁₀(1 + (f/fc)^(2n)). */
export function fitHighRollOff(difference: ResponseDifference): RollOff | undefined {
  return fitRollOff(
    difference,
    1000,
    Number.POSITIVE_INFINITY,
    1000,
    80_000,
    (hz, corner) => hz / corner,
  );
}

function fitRollOff(
  { x, y }: ResponseDifference,
  fromHz: number,
  toHz: number,
  lowestCorner: number,
  highestCorner: number,
  ratio: (hz: number, corner: number) => number,
): RollOff | undefined {
  const points = x.flatMap((hz, i) => (hz >= fromHz && hz <= toHz ? [{ hz, db: y[i] }] : []));
  if (points.length < 8) return undefined;
  const model = (hz: number, corner: number, order: number) =>
    -10 * Math.log10(1 + ratio(hz, corner) ** (2 * order)) +
    10 * Math.log10(1 + ratio(1000, corner) ** (2 * order));
  const best = orders.map((order) => {
    const rest = (corner: number) => {
      const sum = points.reduce((s, p) => s + (p.db - model(p.hz, corner, order)) ** 2, 0);
      return Math.sqrt(sum / points.length);
    };
    return { order, ...minimum(rest, lowestCorner, highestCorner) };
  });
  const winner = best.reduce((a, b) => (b.restDb < a.restDb ? b : a));
  return { ...winner, restByOrderDb: best.map((b) => b.restDb) };
}

/** Least value on a logarithmic scale: a coarse walk, then golden sections around its best. */
function minimum(rest: (corner: number) => number, low: number, high: number) {
  const steps = 60;
  const ratio = (high / low) ** (1 / steps);
  let best = low;
  for (let k = 0; k <= steps; k++) {
    const corner = low * ratio ** k;
    if (rest(corner) < rest(best)) best = corner;
  }
  let a = Math.log(best / ratio);
  let b = Math.log(best * ratio);
  const golden = (Math.sqrt(5) - 1) / 2;
  for (let k = 0; k < 25; k++) {
    const c = b - golden * (b - a);
    const d = a + golden * (b - a);
    if (rest(Math.exp(c)) < rest(Math.exp(d))) b = d;
    else a = c;
  }
  const cornerHz = Math.exp((a + b) / 2);
  return { cornerHz, restDb: rest(cornerHz) };
}
