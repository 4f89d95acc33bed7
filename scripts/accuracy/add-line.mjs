/** Samples after which the phasor is worked out anew, before rounding shows. */
const anewEvery = 1024;

/**
 * Adds a sine to samples.
 *
 * @param turn its phase at the first sample, in turns
 */
export function addLine(samples, amplitude, cyclesPerSample, turn) {
  const step = 2 * Math.PI * cyclesPerSample;
  const [turnCos, turnSin] = [Math.cos(step), Math.sin(step)];
  let c = 0;
  let s = 0;
  for (let n = 0; n < samples.length; n++) {
    if (n % anewEvery === 0) {
      c = Math.cos(step * n + 2 * Math.PI * turn);
      s = Math.sin(step * n + 2 * Math.PI * turn);
    }
    samples[n] += amplitude * s;
    const turned = c * turnCos - s * turnSin;
    s = c * turnSin + s * turnCos;
    c = turned;
  }
}
