import FFT from "fft.js";

/**
 * A discrete Fourier transform of one size. Spectra are interleaved re, im, re, im, …;
 * the forward transform is unscaled, the inverse divides by the size, so that
 * inverse(forward(x)) = x.
 */
export interface FftPlan {
  readonly size: number;
  /**
   * Transform of a real signal.
   *
   * @param real `size` samples
   * @param out at least `2·size` numbers; bins 0 … size/2 are valid, the rest is left undefined
   */
  forwardReal(real: Float64Array, out: Float64Array): void;
  /** Transform of a complex signal; both arrays `2·size` long, not the same one. */
  forward(data: Float64Array, out: Float64Array): void;
  /** Inverse of {@link FftPlan.forward}; both arrays `2·size` long, not the same one. */
  inverse(data: Float64Array, out: Float64Array): void;
}

const plans = new Map<number, FftPlan>();

/**
 * The plan for a size, made once and kept.
 *
 * @param size a power of two, at least 2
 * @throws RangeError for any other size
 * @example
 * const plan = fftPlan(1024);
 * const spectrum = new Float64Array(2 * plan.size);
 * plan.forwardReal(samples, spectrum);
 */
export function fftPlan(size: number): FftPlan {
  const kept = plans.get(size);
  if (kept) return kept;
  if (!Number.isInteger(size) || size < 2 || (size & (size - 1)) !== 0) {
    throw new RangeError(`an FFT's size must be a power of two, not ${size}`);
  }
  const fft = new FFT(size);
  // The library's types ask for plain arrays; it only indexes, and typed arrays run as fast.
  const plain = (a: Float64Array) => a as unknown as number[];
  const plan: FftPlan = {
    size,
    forwardReal: (real, out) => fft.realTransform(plain(out), plain(real)),
    forward: (data, out) => fft.transform(plain(out), plain(data)),
    inverse: (data, out) => fft.inverseTransform(plain(out), plain(data)),
  };
  plans.set(size, plan);
  return plan;
}

/** The smallest power of two that is at least `n`. */
export function nextPowerOfTwo(n: number): number {
  let size = 2;
  while (size < n) size *= 2;
  return size;
}
