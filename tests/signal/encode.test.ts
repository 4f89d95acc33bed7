import { describe, expect, it } from "vitest";
import { encodeSamples, type SignalFormat } from "../../src/signal/encode.js";
import { makeSamples } from "../helpers/samples.js";

function decode(bytes: Uint8Array, format: SignalFormat): number[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const size = Number(format.replace(/\D/g, "")) / 8;
  return Array.from({ length: bytes.length / size }, (_, i) => {
    if (format === "float32") return view.getFloat32(4 * i, true);
    if (format === "int16") return view.getInt16(2 * i, true);
    if (format === "int32") return view.getInt32(4 * i, true);
    return view.getUint16(3 * i, true) + view.getInt8(3 * i + 2) * 65_536;
  });
}

describe("encodeSamples", () => {
  // Lipshitz, Wannamaker, Vanderkooy 1992: with triangular dither of two steps the total error has
  // mean 0 and variance q²/4 (q²/12 of rounding and q²/6 of dither), whatever the input.
  it.each([0, 0.25, 0.5, 0.77])(
    "adds an error of mean 0 and variance q²/4 at %f of a step",
    (fraction) => {
      const count = 200_000;
      const steps = 1000 + fraction;
      const values = decode(
        encodeSamples(new Float64Array(count).fill(steps / 32_768), "int16"),
        "int16",
      );
      let sum = 0;
      let squares = 0;
      for (const value of values) {
        sum += value - steps;
        squares += (value - steps) ** 2;
      }
      // Four standard errors of the mean, and of the variance of a distribution no heavier than normal.
      expect(Math.abs(sum / count)).toBeLessThan(4 * Math.sqrt(0.25 / count));
      expect(Math.abs(squares / count - 0.25)).toBeLessThan(4 * 0.25 * Math.sqrt(2 / count));
    },
  );

  it("keeps every error below one and a half steps, half for rounding and one for dither", () => {
    for (const [format, bits] of [
      ["int16", 16],
      ["int24", 24],
      ["int32", 32],
    ] as const) {
      const samples = makeSamples(20_000, (i) => 0.9 * Math.sin(0.37 * i));
      const errors = decode(encodeSamples(samples, format), format).map(
        (value, i) => value - samples[i] * 2 ** (bits - 1),
      );
      expect(Math.max(...errors.map(Math.abs))).toBeLessThan(1.5);
      expect(Math.max(...errors)).toBeGreaterThan(1);
    }
  });

  it("clips to the range of the integers", () => {
    for (const [format, bits] of [
      ["int16", 16],
      ["int24", 24],
      ["int32", 32],
    ] as const) {
      const values = decode(encodeSamples(Float64Array.of(1.5, -1.5), format), format);
      expect(values).toEqual([2 ** (bits - 1) - 1, -(2 ** (bits - 1))]);
    }
  });

  it("rounds to the nearest float of 32 bits, without dither", () => {
    const samples = Float64Array.of(0, 0.1, -1, 0.499999999, 2 ** -29, -1.25e-20);
    const expected = Array.from(samples, Math.fround);
    expect(decode(encodeSamples(samples, "float32"), "float32")).toEqual(expected);
  });

  it("gives the same bytes each time", () => {
    const samples = makeSamples(1000, (i) => Math.sin(i));
    expect(encodeSamples(samples, "int24")).toEqual(encodeSamples(samples, "int24"));
  });
});
