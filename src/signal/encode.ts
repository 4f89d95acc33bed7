import { createMersenneTwister, type RandomSource } from "../dsp/random.js";

/** How the samples of the signal's file are written. */
export type SignalFormat = "int16" | "int24" | "int32" | "float32";

export const signalFormats: readonly SignalFormat[] = ["int16", "int24", "int32", "float32"];

/** Any seed would do; a fixed one makes the same signal the same file, bit for bit. */
const ditherSeed = 1;

/**
 * Samples as bytes of a WAV file. Integers get dither of triangular distribution, two steps
 * from peak to peak, which makes the mean and the power of the rounding error independent of
 * the signal (S. P. Lipshitz, R. A. Wannamaker, J. Vanderkooy: "Quantization and Dither: A
 * Theoretical Survey", J. Audio Eng. Soc. 40(5), 1992).
 *
 * @param samples full scale ±1; what goes beyond is clipped
 * @param random source of the dither, where a long signal is encoded piece by piece
 * @returns little-endian bytes
 * @example
 * encodeSamples(Float64Array.of(0, 1, -1), "float32").length; // 12
 */
export function encodeSamples(
  samples: Float64Array,
  format: SignalFormat,
  random: RandomSource = createDitherSource(),
): Uint8Array {
  if (format === "float32") {
    const view = new DataView(new ArrayBuffer(samples.length * 4));
    for (let i = 0; i < samples.length; i++) view.setFloat32(4 * i, samples[i], true);
    return new Uint8Array(view.buffer);
  }
  const bits = Number(format.slice(3));
  const bytesEach = bits / 8;
  const fullScale = 2 ** (bits - 1);
  const bytes = new Uint8Array(samples.length * bytesEach);
  for (let i = 0, p = 0; i < samples.length; i++) {
    const dither = random.uniform() + random.uniform() - 1;
    const rounded = Math.round(samples[i] * fullScale + dither);
    const value = Math.max(-fullScale, Math.min(fullScale - 1, rounded));
    for (let k = 0; k < bytesEach; k++) bytes[p++] = value >> (8 * k);
  }
  return bytes;
}

/**
 * A fresh source of the random numbers used for dither.
 *
 * @example
 * createDitherSource().next32() === createDitherSource().next32(); // true
 */
export function createDitherSource(): RandomSource {
  return createMersenneTwister(ditherSeed);
}
