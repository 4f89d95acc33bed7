import { dbPerNeper } from "../dsp/decibels.js";

/** 95 % of a normal distribution lie within this many standard deviations. */
const coverage = 1.96;

/**
 * Expanded uncertainty (95 %) in decibels of a noise power.
 *
 * The power is assumed to be gamma distributed, a good approximation for a sum of squares of noise
 * (chi-square with 2·(power/deviation)² degrees of freedom); the logarithm of a gamma variable of
 * shape a has the variance ψ′(a) (M. Abramowitz, I. Stegun, "Handbook of Mathematical Functions",
 * 6.4.12).
 *
 * @param power the estimate
 * @param deviation its standard deviation
 * @example
 * // A power known to 1 %, 95 %: 1.96·10·lg e·0.01 dB.
 * computeNoiseUncertaintyDb(1, 0.01).toFixed(3); // "0.085"
 */
export function computeNoiseUncertaintyDb(power: number, stdDev: number): number {
  const shape = (power / stdDev) ** 2;
  if (!Number.isFinite(shape)) return 0;
  return coverage * (dbPerNeper / 2) * Math.sqrt(trigamma(shape));
}

/**
 * Mean bias in decibels of a gamma distributed power expressed in decibels. ln a − ψ(a), asymptotic
 * (Abramowitz & Stegun, 6.3.18).
 *
 * @example
 * // A mean of one exponential value lies γ = 0.577 nepers of power low; of a hundred, 1/200.
 * computeNoiseBiasDb(10, 1).toFixed(4); // "0.0218"
 */
export function computeNoiseBiasDb(power: number, stdDev: number): number {
  const shape = (power / stdDev) ** 2;
  if (!Number.isFinite(shape)) return 0;
  return (dbPerNeper / 2) * (1 / (2 * shape) + 1 / (12 * shape * shape));
}

/** ψ′(a), asymptotic; within 1 % from 1 on. */
function trigamma(a: number): number {
  return 1 / a + 1 / (2 * a * a) + 1 / (6 * a ** 3) - 1 / (30 * a ** 5);
}
