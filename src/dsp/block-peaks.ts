/**
 * The highest magnitude in each whole block, and its position.
 *
 * @param samples any unit
 * @param first index of the sample at which the first block begins
 * @param size samples in a block, 1 or more
 * @returns peaks in the unit of the samples and their indices, one each a block, none if no whole
 *   block fits; the place of a block that is all zero is 0
 * @example
 * findBlockPeaks(Float64Array.of(0, 1, -3, 2, 0, 0), 0, 3).places[0]; // 2
 */
export function findBlockPeaks(samples: Float64Array, first: number, size: number) {
  const count = Math.max(0, Math.floor((samples.length - first) / size));
  const peaks = new Float64Array(count);
  const places = new Int32Array(count);
  for (let b = 0; b < count; b++) {
    let most = 0;
    let place = 0;
    for (let n = first + b * size; n < first + (b + 1) * size; n++) {
      const height = Math.abs(samples[n]);
      if (height > most) {
        most = height;
        place = n;
      }
    }
    peaks[b] = most;
    places[b] = place;
  }
  return { peaks, places };
}
