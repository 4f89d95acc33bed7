import { boundDb } from "./is-bound.js";
import type { Curve, Curves } from "./types.js";

/**
 * Adds `bounds` to curves; only a curve with a `floor` can have any.
 *
 * @example
 * const curve = { x: [50, 100], y: [-90, -130], uncertainty: [0.1, 6], xUnit: "Hz", yUnit: "dBFS" };
 * markBounds({ humLines: { ...curve, floor: [-140, -140] } }).humLines.bounds; // [1]
 * markBounds({ humLines: curve }).humLines.bounds; // undefined
 */
export function markBounds(curves: Curves): Curves {
  return Object.fromEntries(Object.entries(curves).map(([id, curve]) => [id, marked(curve)]));
}

function marked({ bounds: _, ...curve }: Curve): Curve {
  if (curve.floor === undefined) return curve;
  const bounds = curve.uncertainty.flatMap((u, i) => (u >= boundDb ? [i] : []));
  return bounds.length > 0 ? { ...curve, bounds } : curve;
}

/** Rounding may separate a point from its floor by this. */
const floorRoundingDb = 0.011;

/**
 * Whether a point of a curve is an upper bound, also in older curves without marked bounds: by its
 * uncertainty, or because it is at its floor.
 *
 * @param i position of the point, from 0
 * @example
 * const curve = { x: [50, 100], y: [-90, -130], uncertainty: [0.1, 6], xUnit: "Hz", yUnit: "dBFS" };
 * isBoundAt({ ...curve, floor: [-140, -140] }, 1); // true
 * isBoundAt({ ...curve, floor: [-140, -140] }, 0); // false
 * isBoundAt(curve, 1); // false
 */
export function isBoundAt({ y, uncertainty, floor }: Curve, i: number): boolean {
  if (floor === undefined) return false;
  return uncertainty[i] >= boundDb || y[i] <= floor[i] + floorRoundingDb;
}
