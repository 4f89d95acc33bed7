/** A figure within 3 dB of the word length's own noise says more of that than of the path. */
const limitedPower = 2;
/** Parts into which a band is cut to sum a weight over it. */
const parts = 400;

/**
 * Noise power of a quantiser with triangular dither, over all frequencies: a quarter of the step squared,
 * of which a third is the quantiser's and the rest the dither's (S. P. Lipshitz, R. A. Wannamaker,
 * J. Vanderkooy, "Quantization and Dither: A Theoretical Survey", J. Audio Eng. Soc. 40(5), 1992).
 *
 * @param step in units of full scale
 * @example
 * // 16 bits: 93.3 dB below a sine at full scale, whose power is one half.
 * (10 * Math.log10(computeDitherPower(2 ** -15) / 0.5)).toFixed(1); // "-93.3"
 */
export function computeDitherPower(step: number): number {
  return step ** 2 / 4;
}

/** A band of the noise, and how it is weighted. */
export interface WeightedBand {
  readonly fromHz: number;
  readonly toHz: number;
  /** Power weight at a frequency. */
  readonly weight: (hz: number) => number;
}

/**
 * Whether the recording's word length may set a noise: whether dither of its step, white up to half the
 * sample rate, would be half of it or more. Samples do not say how they were dithered, so the plain way
 * counts; without dither it is a third, and what is rounded then is lost in other ways.
 *
 * @param power of the noise in that band, weighted
 * @param step of the quantiser, as `findQuantiserStep` finds it
 * @example
 * const band = { fromHz: 0, toHz: 24_000, weight: () => 1 };
 * // Nothing but 16 bits, and as much noise of the path as three times that.
 * isSetByWordLength(2 ** -30 / 4, 2 ** -15, 48_000, band); // true
 * isSetByWordLength(4 * (2 ** -30 / 4), 2 ** -15, 48_000, band); // false
 */
export function isSetByWordLength(
  power: number,
  step: number | undefined,
  sampleRate: number,
  band: WeightedBand,
): boolean {
  return step !== undefined && power <= limitedPower * computeDitherInBand(step, sampleRate, band);
}

/**
 * Power of dither of a step in a band, white up to half the sample rate.
 *
 * @example
 * const band = { fromHz: 1000, toHz: 7000, weight: () => 1 };
 * // A quarter of it lies in 6 kHz of 24.
 * computeDitherInBand(1, 48_000, band); // 0.0625
 */
export function computeDitherInBand(
  step: number,
  sampleRate: number,
  { fromHz, toHz, weight }: WeightedBand,
): number {
  const widthHz = (toHz - fromHz) / parts;
  let weighted = 0;
  for (let i = 0; i < parts; i++) weighted += weight(fromHz + (i + 0.5) * widthHz) * widthHz;
  return (computeDitherPower(step) * weighted) / (sampleRate / 2);
}

/**
 * Power of the strongest tone that rounding makes, in squared steps: the third harmonic of the square wave
 * that a sine of about a step becomes without dither, (4/3π)²/2.
 */
const strongestOfRounding = (4 / (3 * Math.PI)) ** 2 / 2;

/**
 * Whether a tone may be the rounding's own: without dither a quantiser answers hum or an offset that drifts
 * with tones. Samples do not say whether they were dithered.
 *
 * @param power of the tone
 * @param step of the quantiser, as `findQuantiserStep` finds it
 * @example
 * isToneOfRounding(0.09, 1); // true
 * isToneOfRounding(0.091, 1); // false
 */
export function isToneOfRounding(power: number, step: number | undefined): boolean {
  return step !== undefined && power <= strongestOfRounding * step ** 2;
}
