/**
 * Smallest difference of two unlike neighbours, or of two such differences: of a coarse quantiser
 * its own step, also where a waveform rises by about as much from sample to sample.
 *
 * @param from index of the first sample looked at, cut to those there are
 * @param until index behind the last
 * @returns in the unit of the samples; infinity where all are alike
 * @example
 * findSmallestStep(Float64Array.of(0, 0.5, 1.25, 1.25), 0, 4); // 0.25
 */
export function findSmallestStep(samples: Float64Array, from: number, until: number): number {
  const end = Math.min(samples.length, until);
  const begin = Math.max(0, from);
  let least = Infinity;
  let last = 0;
  for (let n = begin + 1; n < end; n++) {
    const step = samples[n] - samples[n - 1];
    if (step !== 0) least = Math.min(least, Math.abs(step));
    if (step !== last && n > begin + 1) least = Math.min(least, Math.abs(step - last));
    last = step;
  }
  return least;
}
