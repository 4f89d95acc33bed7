import FFT from "fft.js";
import { makeSamples } from "./samples.js";

/**
 * Passes samples through an analogue filter given in closed form, by multiplying the spectrum
 * of the zero-padded samples: exact for band-limited signals.
 *
 * @param response complex response [re, im] at a frequency in Hz
 */
export function throughFilter(
  samples: Float64Array,
  sampleRate: number,
  response: (hz: number) => readonly [number, number],
): Float64Array {
  const { fft, spectrum: dry } = transformed(samples, sampleRate);
  const { size } = fft;
  const spectrum = new Float64Array(2 * size);
  for (let k = 0; k <= size / 2; k++) {
    const [hr, hi] = response((k * sampleRate) / size);
    const re = dry[2 * k] * hr - dry[2 * k + 1] * hi;
    const im = dry[2 * k] * hi + dry[2 * k + 1] * hr;
    spectrum[2 * k] = re;
    spectrum[2 * k + 1] = im;
    if (k > 0 && k < size / 2) {
      spectrum[2 * (size - k)] = re;
      spectrum[2 * (size - k) + 1] = -im;
    }
  }
  const data = new Float64Array(2 * size);
  fft.inverseTransform(data as unknown as number[], spectrum as unknown as number[]);
  return makeSamples(samples.length, (n) => data[2 * n]);
}

const ffts = new Map<number, FFT>();
/** The last signal that was filtered: many filters are tried on one. */
let last: { readonly samples: Float64Array; readonly spectrum: Float64Array; readonly fft: FFT };

/** The spectrum of a signal and of two seconds of silence behind it, in which filters die away. */
function transformed(samples: Float64Array, sampleRate: number) {
  let size = 2;
  while (size < samples.length + 2 * sampleRate) size *= 2;
  if (last?.fft.size === size && isSame(last.samples, samples)) return last;
  const fft = ffts.get(size) ?? new FFT(size);
  ffts.set(size, fft);
  const data = new Float64Array(size);
  data.set(samples);
  const spectrum = new Float64Array(2 * size);
  fft.realTransform(spectrum as unknown as number[], data as unknown as number[]);
  last = { samples: samples.slice(), spectrum, fft };
  return last;
}

function isSame(a: Float64Array, b: Float64Array): boolean {
  if (a.length !== b.length) return false;
  for (let n = 0; n < a.length; n++) if (a[n] !== b[n]) return false;
  return true;
}

type Complex = readonly [number, number];

const divide = ([a, b]: Complex, [c, d]: Complex): Complex => {
  const n = c * c + d * d;
  return [(a * c + b * d) / n, (b * c - a * d) / n];
};

/** First-order high-pass, H = jx/(1+jx). */
export const highPass1 =
  (cornerHz: number) =>
  (hz: number): Complex =>
    divide([0, hz / cornerHz], [1, hz / cornerHz]);

/** First-order low-pass, H = 1/(1+jx). */
export const lowPass1 =
  (cornerHz: number) =>
  (hz: number): Complex =>
    divide([1, 0], [1, hz / cornerHz]);

/** Second-order high-pass, H = −x²/(1−x²+jx/Q). */
export const highPass2 =
  (cornerHz: number, q: number) =>
  (hz: number): Complex => {
    const x = hz / cornerHz;
    return divide([-x * x, 0], [1 - x * x, x / q]);
  };

/** Second-order low-pass, H = 1/(1−x²+jx/Q). */
export const lowPass2 =
  (cornerHz: number, q: number) =>
  (hz: number): Complex => {
    const x = hz / cornerHz;
    return divide([1, 0], [1 - x * x, x / q]);
  };

/** Peaking section, H = (1−x²+jgx/Q)/(1−x²+jx/Q): gain g at the centre. */
export const peak2 =
  (centreHz: number, q: number, g: number) =>
  (hz: number): Complex => {
    const x = hz / centreHz;
    return divide([1 - x * x, (g * x) / q], [1 - x * x, x / q]);
  };

/** Magnitude in decibels. */
export function magnitudeDb([re, im]: Complex): number {
  return 10 * Math.log10(re * re + im * im);
}
