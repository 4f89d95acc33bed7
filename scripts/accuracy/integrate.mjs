/**
 * Integral of a density over frequency, by Simpson's rule over its logarithm.
 *
 * @param density of f in hertz
 */
export function integrateOverFrequency(density, fromHz, toHz) {
  const steps = 600;
  const h = Math.log(toHz / fromHz) / steps;
  let sum = 0;
  for (let k = 0; k <= steps; k++) {
    const hz = fromHz * Math.exp(k * h);
    const times = k === 0 || k === steps ? 1 : k % 2 === 1 ? 4 : 2;
    sum += times * hz * density(hz);
  }
  return (sum * h) / 3;
}
