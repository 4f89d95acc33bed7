import type { Curve, Curves } from "./types.js";

/** Points of a curve that are bounds have this uncertainty or more, decibels; estimates have less. */
export const curveBoundDb = 6;

/**
 * Curves with `bounds` as their points have it: only a curve with a `floor` can drown in it.
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
  const bounds = curve.uncertainty.flatMap((u, i) => (u >= curveBoundDb ? [i] : []));
  return bounds.length > 0 ? { ...curve, bounds } : curve;
}
