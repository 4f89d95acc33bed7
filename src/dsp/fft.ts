import FFT from "fft.js";
import { type ComplexTransform, createStockham } from "./stockham.js";

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
   * @param out at least `size + 2` numbers: bins 0 … size/2; the rest is left undefined
   */
  forwardReal(real: Float64Array, out: Float64Array): void;
  /**
   * Inverse of {@link FftPlan.forwardReal}.
   *
   * @param spectrum bins 0 … size/2; used up
   * @param real `size` samples, filled
   */
  inverseReal(spectrum: Float64Array, real: Float64Array): void;
  /** Transform of a complex signal; both arrays `2·size` long, not the same one. */
  forward(data: Float64Array, out: Float64Array): void;
  /** Inverse of {@link FftPlan.forward}; both arrays `2·size` long, not the same one. */
  inverse(data: Float64Array, out: Float64Array): void;
}

const plans = new Map<number, FftPlan>();

/**
 * The plan for a size, made once and kept.
 *
 * A real signal of N samples goes through a complex transform of N/2, its even samples as the real
 * and its odd ones as the imaginary part (W. H. Press et al., "Numerical Recipes", 12.3).
 *
 * @param size a power of two, at least 4
 * @throws RangeError for any other size
 * @example
 * const plan = createFftPlan(1024);
 * const spectrum = new Float64Array(plan.size + 2);
 * plan.forwardReal(new Float64Array(1024).fill(1), spectrum);
 * spectrum[0]; // 1024
 */
export function createFftPlan(size: number): FftPlan {
  const kept = plans.get(size);
  if (kept) return kept;
  if (!Number.isInteger(size) || size < 4 || (size & (size - 1)) !== 0) {
    throw new RangeError(`an FFT's size must be a power of two from 4 on, not ${size}`);
  }
  const plan: FftPlan = {
    size,
    forwardReal(real, out) {
      transform(size / 2).transform(real, out);
      untangle(out, size / 2, quarterTurns(size));
    },
    inverseReal(spectrum, real) {
      tangle(spectrum, size / 2, quarterTurns(size));
      transform(size / 2).inverseTransform(spectrum, real);
    },
    forward: (data, out) => transform(size).transform(data, out),
    inverse: (data, out) => transform(size).inverseTransform(data, out),
  };
  plans.set(size, plan);
  return plan;
}

/** From this many complex points on, memory access rather than arithmetic limits the library. */
const large = 2 ** 14;

const transforms = new Map<number, ComplexTransform>();

/** The transform of a size, made on first use: the library's, or our own for large sizes. */
function transform(size: number): ComplexTransform {
  const kept = transforms.get(size);
  if (kept) return kept;
  const made = size < large ? library(size) : createStockham(size);
  transforms.set(size, made);
  return made;
}

function library(size: number): ComplexTransform {
  const fft = new FFT(size);
  return {
    transform: (data, out) => fft.transform(plain(out), plain(data)),
    inverseTransform: (data, out) => fft.inverseTransform(plain(out), plain(data)),
  };
}

/** The library's types ask for plain arrays; it only indexes, and typed arrays run as fast. */
const plain = (a: Float64Array) => a as unknown as number[];

/** cos and sin of 2πk/size, interleaved, for the first quarter of a turn. */
interface Turns {
  readonly size: number;
  readonly values: Float64Array;
}

/** For the largest size asked for; a smaller one uses every second, fourth … of them. */
let turns: Turns = { size: 0, values: new Float64Array(0) };

/** The table for a size, or for a larger one. */
function quarterTurns(size: number): Turns {
  if (size <= turns.size) return turns;
  const values = new Float64Array(size / 2 + 2);
  for (let k = 0; k <= size / 4; k++) {
    values[2 * k] = Math.cos((2 * Math.PI * k) / size);
    values[2 * k + 1] = Math.sin((2 * Math.PI * k) / size);
  }
  turns = { size, values };
  return turns;
}

/** From the transform of even + i·odd samples to that of all: X = E + e^(−2πik/N)·O. */
function untangle(z: Float64Array, bins: number, { size, values }: Turns): void {
  const next = size / bins;
  const re0 = z[0];
  const im0 = z[1];
  z[0] = re0 + im0;
  z[1] = 0;
  z[2 * bins] = re0 - im0;
  z[2 * bins + 1] = 0;
  for (let a = 2, b = 2 * bins - 2, t = next; a <= b; a += 2, b -= 2, t += next) {
    const evenRe = 0.5 * (z[a] + z[b]);
    const evenIm = 0.5 * (z[a + 1] - z[b + 1]);
    const oddRe = 0.5 * (z[a + 1] + z[b + 1]);
    const oddIm = 0.5 * (z[b] - z[a]);
    const c = values[t];
    const s = values[t + 1];
    const re = oddRe * c + oddIm * s;
    const im = oddIm * c - oddRe * s;
    z[a] = evenRe + re;
    z[a + 1] = evenIm + im;
    z[b] = evenRe - re;
    z[b + 1] = im - evenIm;
  }
}

/** The way back: Z = E + i·O. */
function tangle(x: Float64Array, bins: number, { size, values }: Turns): void {
  const next = size / bins;
  const first = x[0];
  const last = x[2 * bins];
  x[0] = 0.5 * (first + last);
  x[1] = 0.5 * (first - last);
  for (let a = 2, b = 2 * bins - 2, t = next; a <= b; a += 2, b -= 2, t += next) {
    const evenRe = 0.5 * (x[a] + x[b]);
    const evenIm = 0.5 * (x[a + 1] - x[b + 1]);
    const re = 0.5 * (x[a] - x[b]);
    const im = 0.5 * (x[a + 1] + x[b + 1]);
    const c = values[t];
    const s = values[t + 1];
    const oddRe = re * c - im * s;
    const oddIm = im * c + re * s;
    x[a] = evenRe - oddIm;
    x[a + 1] = evenIm + oddRe;
    x[b] = evenRe + oddIm;
    x[b + 1] = oddRe - evenIm;
  }
}

/**
 * The smallest power of two from 4 on that is at least `n`.
 *
 * @example
 * computeNextPowerOfTwo(1000); // 1024
 */
export function computeNextPowerOfTwo(n: number): number {
  let size = 4;
  while (size < n) size *= 2;
  return size;
}
