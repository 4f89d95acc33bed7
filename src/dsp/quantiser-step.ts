/** Words are at most 32 bits long; with a finer step there is no quantiser. */
const finest = 2 ** -31;

/**
 * Step of the quantiser that samples went through: the largest value of which all are whole multiples
 * (Euclid's algorithm). If a file of longer words carries shorter ones, it is their step.
 *
 * @param samples full scale ±1
 * @returns undefined if there is none down to the step of 32 bits, and where all samples are 0
 * @example
 * findQuantiserStep(Float64Array.of(0, 0.5, -0.25, 0.75)); // 0.25
 * findQuantiserStep(Float64Array.of(0, 0.5, -0.3, 0.75)); // undefined
 */
export function findQuantiserStep(samples: Float64Array): number | undefined {
  let step = 0;
  for (let n = 0; n < samples.length; n++) {
    // Dividing is quicker than a remainder, and exact for a multiple.
    if (Number.isInteger(samples[n] / step)) continue;
    let rest = Math.abs(samples[n]);
    while (rest > 0) [step, rest] = [rest, step % rest];
    if (step > 0 && step < finest) return undefined;
  }
  return step > 0 ? step : undefined;
}
