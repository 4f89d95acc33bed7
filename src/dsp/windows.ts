/**
 * Hann window, periodic form, w(n) = ½ − ½·cos(2πn/N): the form for spectra.
 *
 * Source: F. J. Harris, "On the use of windows for harmonic analysis with the discrete Fourier
 * transform", Proc. IEEE 66(1), 1978.
 * @example
 * hann(4)[2]; // 1
 */
export function hann(size: number): Float64Array {
  const window = new Float64Array(size);
  for (let n = 0; n < size; n++) window[n] = 0.5 - 0.5 * Math.cos((2 * Math.PI * n) / size);
  return window;
}

/**
 * Kaiser window, symmetric form.
 *
 * @param size samples
 * @param beta shape; see {@link computeKaiserBeta}
 * @example
 * kaiser(5, 0)[2]; // 1
 */
export function kaiser(size: number, beta: number): Float64Array {
  const window = new Float64Array(size);
  const scale = besselI0(beta);
  for (let n = 0; n < size; n++) {
    const x = size === 1 ? 0 : (2 * n) / (size - 1) - 1;
    window[n] = besselI0(beta * Math.sqrt(1 - x * x)) / scale;
  }
  return window;
}

/**
 * Kaiser's shape parameter for a stop-band attenuation in decibels.
 *
 * Source: J. F. Kaiser, "Nonrecursive digital filter design using the I0-sinh window function",
 * Proc. IEEE Int. Symp. Circuits and Systems, 1974.
 * @example
 * computeKaiserBeta(60); // 5.65326
 */
export function computeKaiserBeta(attenuationDb: number): number {
  if (attenuationDb > 50) return 0.1102 * (attenuationDb - 8.7);
  if (attenuationDb > 21) {
    return 0.5842 * (attenuationDb - 21) ** 0.4 + 0.07886 * (attenuationDb - 21);
  }
  return 0;
}

/** Modified Bessel function of the first kind, order zero, by its power series. */
function besselI0(x: number): number {
  const quarter = (x * x) / 4;
  let term = 1;
  let sum = 1;
  for (let k = 1; term > sum * 1e-17; k++) {
    term *= quarter / (k * k);
    sum += term;
  }
  return sum;
}
