/** A reading within 3 dB of the quantisation noise says more about that than about the path. */
const limitedPower = 2;
/** Number of steps for integrating a weighting over a band. */
const parts = 400;

/**
 * Noise power of a quantiser with triangular dither, over all frequencies: a quarter of the step
 * squared, of which a third comes from the quantiser and the rest from the dither (S. P. Lipshitz,
 * R. A. Wannamaker, J. Vanderkooy, "Quantization and Dither: A Theoretical Survey", J. Audio Eng.
 * Soc. 40(5), 1992).
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
 * Whether quantisation may dominate a noise reading: whether dither of its step, white up to half
 * the sample rate, would be half of it or more. Samples do not show how they were dithered, so
 * plain triangular dither is assumed; without dither it is a third, and rounding has other effects.
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
 * Power of the strongest tone caused by rounding, in squared steps: the third harmonic of the
 * square wave that a sine of about a step becomes without dither, (4/3π)²/2.
 */
const strongestOfRounding = (4 / (3 * Math.PI)) ** 2 / 2;

/**
 * Whether a tone may come from rounding: without dither a quantiser turns hum or a drifting offset
 * into tones. Samples do not show whether they were dithered.
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
