import { describe, expect, it } from "vitest";
import { solveCholesky } from "../../src/dsp/cholesky.js";
import { makeSamples } from "../helpers/samples.js";

/** n over k. */
function binomial(n: number, k: number): number {
  let product = 1;
  for (let i = 1; i <= k; i++) product = (product * (n - k + i)) / i;
  return product;
}

const size = 8;
/**
 * The symmetric Pascal matrix, P(i, j) = (i + j over i). Its Cholesky factor is Pascal's triangle,
 * L(i, j) = (i over j), and its inverse has whole numbers (N. J. Higham, "Accuracy and Stability of
 * Numerical Algorithms", 28.4).
 */
const pascal = () =>
  makeSamples(size * size, (at) => {
    const i = Math.floor(at / size);
    const j = at % size;
    return binomial(i + j, i);
  });

describe("solveCholesky", () => {
  it("solves Pascal's matrix for whole numbers", () => {
    const x = [3, -1, 4, 1, -5, 9, -2, 6];
    const p = pascal();
    const b = Float64Array.from(x, (_, i) =>
      x.reduce((sum, value, j) => sum + p[i * size + j] * value, 0),
    );
    solveCholesky(p, b);
    x.forEach((expected, i) => {
      expect(b[i]).toBeCloseTo(expected, 9);
    });
  });

  it("leaves the factor, Pascal's triangle, and reads the lower triangle only", () => {
    const p = pascal();
    for (let i = 0; i < size; i++) for (let j = i + 1; j < size; j++) p[i * size + j] = Number.NaN;
    const b = new Float64Array(size).fill(1);
    solveCholesky(p, b);
    for (let i = 0; i < size; i++) {
      for (let j = 0; j <= i; j++) expect(p[i * size + j]).toBeCloseTo(binomial(i, j), 9);
    }
    // The first column of P is all ones.
    expect(b[0]).toBeCloseTo(1, 9);
    for (let i = 1; i < size; i++) expect(b[i]).toBeCloseTo(0, 9);
  });

  it("solves the textbook's example", () => {
    // Golub, Van Loan, "Matrix Computations", 4.2: A = [2 −2; −2 5], L = [√2 0; −√2 √3]
    const a = Float64Array.of(2, -2, -2, 5);
    const b = Float64Array.of(0, 3);
    solveCholesky(a, b);
    expect(a[0]).toBeCloseTo(Math.SQRT2, 12);
    expect(a[2]).toBeCloseTo(-Math.SQRT2, 12);
    expect(a[3]).toBeCloseTo(Math.sqrt(3), 12);
    expect([...b].map((x) => Math.round(1e9 * x) / 1e9)).toEqual([1, 1]);
  });

  it.each([
    ["indefinite", [1, 2, 2, 1]],
    ["singular", [1, 1, 1, 1]],
    ["negative", [-1, 0, 0, 1]],
    ["not a number", [Number.NaN, 0, 0, 1]],
  ])("refuses a matrix that is %s", (_, a) => {
    expect(() => solveCholesky(Float64Array.from(a), Float64Array.of(1, 1))).toThrow(RangeError);
  });
});
