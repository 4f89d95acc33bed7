import FFT from "fft.js";

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
  let size = 2;
  while (size < samples.length + 2 * sampleRate) size *= 2;
  const fft = new FFT(size);
  const data = new Array<number>(2 * size).fill(0);
  samples.forEach((x, n) => {
    data[2 * n] = x;
  });
  const spectrum = fft.createComplexArray() as number[];
  fft.transform(spectrum, data);
  for (let k = 0; k <= size / 2; k++) {
    const [hr, hi] = response((k * sampleRate) / size);
    const re = spectrum[2 * k] * hr - spectrum[2 * k + 1] * hi;
    const im = spectrum[2 * k] * hi + spectrum[2 * k + 1] * hr;
    spectrum[2 * k] = re;
    spectrum[2 * k + 1] = im;
    if (k > 0 && k < size / 2) {
      spectrum[2 * (size - k)] = re;
      spectrum[2 * (size - k) + 1] = -im;
    }
  }
  fft.inverseTransform(data, spectrum);
  return Float64Array.from({ length: samples.length }, (_, n) => data[2 * n]);
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
