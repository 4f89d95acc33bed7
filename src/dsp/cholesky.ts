/**
 * Solves A·x = b for a symmetric positive definite A, in place: `b` becomes x, `a` its factor.
 *
 * Source: G. H. Golub, C. F. Van Loan, "Matrix Computations", algorithm 4.2.1.
 *
 * @param a n×n, row by row; only the lower triangle is read
 * @param b n numbers
 * @throws RangeError when A is not positive definite
 * @example
 * const [a, b] = [Float64Array.of(4, 0, 2, 3), Float64Array.of(10, 9)];
 * solveCholesky(a, b);
 * [...b].map((x) => x.toFixed(6)); // ["1.500000", "2.000000"]
 */
export function solveCholesky(a: Float64Array, b: Float64Array): void {
  const n = b.length;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = a[i * n + j];
      for (let k = 0; k < j; k++) sum -= a[i * n + k] * a[j * n + k];
      if (i !== j) {
        a[i * n + j] = sum / a[j * n + j];
      } else if (sum > 0) {
        a[i * n + i] = Math.sqrt(sum);
      } else {
        throw new RangeError("the matrix is not positive definite");
      }
    }
  }
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) b[i] -= a[i * n + k] * b[k];
    b[i] /= a[i * n + i];
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) b[i] -= a[k * n + i] * b[k];
    b[i] /= a[i * n + i];
  }
}
