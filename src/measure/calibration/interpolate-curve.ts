import type { Curve, Reading } from "../types.js";

/**
 * A curve at a frequency: linear between its points on a logarithmic scale, constant beyond its
 * ends.
 * @example
 * const curve = { x: [100, 400], y: [0, -6], xUnit: "Hz", yUnit: "dB", uncertainty: [0.1, 0.1] };
 * interpolateCurve(curve, 200).value; // -3
 */
export function interpolateCurve(curve: Curve, hz: number): Reading {
  const { x, y, uncertainty, yUnit } = curve;
  const last = x.length - 1;
  let k = 0;
  while (k < last - 1 && x[k + 1] <= hz) k++;
  const part = last === 0 ? 0 : Math.log(hz / x[k]) / Math.log(x[k + 1] / x[k]);
  const share = Math.max(0, Math.min(1, part));
  const next = Math.min(last, k + 1);
  return {
    value: y[k] + share * (y[next] - y[k]),
    unit: yUnit,
    uncertainty: Math.max(uncertainty[k], uncertainty[next]),
  };
}
