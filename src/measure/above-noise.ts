import { powerToDb } from "../dsp/decibels.js";
import { boundDb } from "./is-bound.js";
import type { Reading } from "./types.js";

/**
 * A power that includes a known share of noise, relative to a fundamental, in decibels. If the
 * power is not clear of the noise, the value is the 95 % upper bound and marked so.
 *
 * @param heard Σ a² of the harmonics, as fitted
 * @param variances variance of each of those amplitudes
 * @param fundamental amplitude of the fundamental
 * @example
 * // Two harmonics of a thousandth each, far above the noise: √2 thousandths, −56.99 dB.
 * computePowerReading([0.001, 0.001], [1e-16, 1e-16], 1).value.toFixed(2); // "-56.99"
 * computePowerReading([1e-6], [1e-10], 1).limitedBy; // "noise"
 */
export function computePowerReading(
  heard: readonly number[],
  variances: readonly number[],
  fundamental: number,
): Reading {
  let power = 0;
  let mixed = 0;
  let noise = 0;
  let largest = 0;
  heard.forEach((a, k) => {
    const v = variances[k];
    // E[a²] = A² + 2v, var[a²] = 4·A²·v + 4·v² for an amplitude fitted in two quadratures
    power += a * a - 2 * v;
    mixed += 4 * Math.max(0, a * a - 2 * v) * v;
    noise += 4 * v * v;
    largest = Math.max(largest, v);
  });
  const stdDev = Math.sqrt(mixed + noise);
  const reference = fundamental * fundamental;
  if (power > 3 * stdDev) {
    // The interval is symmetric in power; the wider side in decibels is used for both.
    const uncertainty = -powerToDb(1 - (2 * stdDev) / power);
    return {
      value: powerToDb(power / reference),
      unit: "dB",
      uncertainty: Math.max(minUncertaintyDb, uncertainty),
    };
  }
  const bound = computeUpperPower(power, largest, noise);
  return {
    value: powerToDb(Math.max(bound, Number.MIN_VALUE) / reference),
    unit: "dB",
    uncertainty: boundDb,
    limitedBy: "noise",
    bound: "upper",
  };
}

/**
 * Upper bound (95 %) of a power that is not clear of its noise. It uses the scatter at the bound,
 * not that of an estimate which noise may have made low.
 *
 * @param power the estimate, without the noise's share
 *
 * @param variance largest variance of its amplitudes
 *
 * @param noise variance of the power of noise alone
 * @example
 * // Nothing but noise of deviation 1: two deviations.
 * computeUpperPower(0, 0, 1); // 2
 */
export function computeUpperPower(power: number, variance: number, noise: number): number {
  const least = Math.max(0, power);
  let bound = least;
  for (let pass = 0; pass < 6; pass++) {
    bound = least + 2 * Math.sqrt(4 * bound * variance + noise);
  }
  return bound;
}

/** Decibels; least uncertainty of distortion, from rounding in the fit. */
export const minUncertaintyDb = 0.01;
