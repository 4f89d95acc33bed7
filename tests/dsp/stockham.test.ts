import FFT from "fft.js";
import { describe, expect, it } from "vitest";
import { createStockham } from "../../src/dsp/stockham.js";
import { gaussian } from "../helpers/noise.js";
import { makeSamples } from "../helpers/samples.js";

const noise = (size: number) => makeSamples(2 * size, gaussian(size));

/** Root mean square of the difference against that of the second. */
function apart(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let difference = 0;
  let whole = 0;
  for (let i = 0; i < b.length; i++) {
    difference += (a[i] - b[i]) ** 2;
    whole += b[i] ** 2;
  }
  return Math.sqrt(difference / whole);
}

describe("the transform for large sizes", () => {
  // expected: the definition, X[k] = Σ x[n]·e^(−2πikn/N), summed term by term
  it.each([2, 4, 8, 16, 32, 64, 512])("of %i points is what the definition says", (size) => {
    const data = noise(size);
    const out = new Float64Array(2 * size);
    createStockham(size).transform(data, out);
    const expected = new Float64Array(2 * size);
    for (let k = 0; k < size; k++) {
      for (let n = 0; n < size; n++) {
        const angle = (-2 * Math.PI * k * n) / size;
        expected[2 * k] += data[2 * n] * Math.cos(angle) - data[2 * n + 1] * Math.sin(angle);
        expected[2 * k + 1] += data[2 * n] * Math.sin(angle) + data[2 * n + 1] * Math.cos(angle);
      }
    }
    expect(apart(out, expected)).toBeLessThan(1e-13);
  });

  // expected: fft.js, a general library
  it.each([2 ** 15, 2 ** 16, 2 ** 19])("of %i points agrees with a library's", (size) => {
    const data = noise(size);
    const out = new Float64Array(2 * size);
    const theirs = new Float64Array(2 * size);
    createStockham(size).transform(data, out);
    new FFT(size).transform(theirs as unknown as number[], data as unknown as number[]);
    expect(apart(out, theirs)).toBeLessThan(1e-14);
  });

  it.each([2, 4, 8, 2 ** 15, 2 ** 16])("of %i points is undone by its inverse", (size) => {
    const data = noise(size);
    const out = new Float64Array(2 * size);
    const back = new Float64Array(2 * size);
    createStockham(size).transform(data, out);
    createStockham(size).inverseTransform(out, back);
    expect(apart(back, data)).toBeLessThan(1e-14);
  });

  it("leaves its input as it is, and is not disturbed by another size in between", () => {
    const data = noise(2 ** 10);
    const kept = data.slice();
    const first = new Float64Array(data.length);
    const again = new Float64Array(data.length);
    const one = createStockham(2 ** 10);
    one.transform(data, first);
    createStockham(2 ** 12).transform(noise(2 ** 12), new Float64Array(2 ** 13));
    one.transform(data, again);
    expect(data).toEqual(kept);
    expect(again).toEqual(first);
  });
});
