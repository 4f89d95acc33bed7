/**
 * Median; the mean of the middle two for an even count.
 *
 * @throws RangeError for no values
 * @example
 * median([3, 1, 100]); // 3
 */
export function median(values: ArrayLike<number>): number {
  if (values.length === 0) throw new RangeError("the median of nothing");
  const sorted = new Float64Array(values).sort();
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
}

/**
 * Qn, a scale estimator that tolerates half of the values being outliers and that has 82 % of the
 * standard deviation's efficiency on Gaussian data: 2.2219 times the k-th smallest of all pairwise
 * distances, k = h·(h−1)/2 with h = ⌊n/2⌋ + 1, times a factor for small samples.
 *
 * Source: P. J. Rousseeuw, C. Croux, "Alternatives to the median absolute deviation", J. Am.
 * Stat. Assoc. 88(424), 1993; factors for n ≤ 9 and beyond from C. Croux, P. J. Rousseeuw,
 * "Time-efficient algorithms for two highly robust estimators of scale", COMPSTAT 1992 (written
 * from memory, checked by simulation in the tests).
 *
 * @param values at least two
 * @returns an estimate of the standard deviation
 * @throws RangeError for fewer than two values
 * @example
 * qn([1, 2, 3, 4, 1000]) < 3; // true
 */
export function qn(values: ArrayLike<number>): number {
  const n = values.length;
  if (n < 2) throw new RangeError("a scale needs at least two values");
  const h = (n >> 1) + 1;
  const rank = (h * (h - 1)) / 2;
  const distance = n <= fewValues ? selectDistance(values, rank) : seekDistance(values, rank);
  return 2.2219 * smallSampleFactor(n) * distance;
}

/** Up to this many values, listing all distances is quicker than counting them. */
const fewValues = 64;

/** Scratch list for the distances of {@link selectDistance}. */
const distances = new Float64Array((fewValues * (fewValues - 1)) / 2);

/**
 * The k-th smallest of all distances between two values, k from 1: by Hoare's selection (C. A. R.
 * Hoare, "Algorithm 65: Find", Commun. ACM 4(7), 1961), which sorts only the side that holds it.
 */
function selectDistance(values: ArrayLike<number>, rank: number): number {
  let count = 0;
  for (let i = 1; i < values.length; i++) {
    for (let j = 0; j < i; j++) distances[count++] = Math.abs(values[i] - values[j]);
  }
  const wanted = rank - 1;
  let [low, high] = [0, count - 1];
  while (low < high) {
    const pivot = distances[wanted];
    let i = low;
    let j = high;
    while (i <= j) {
      while (distances[i] < pivot) i++;
      while (distances[j] > pivot) j--;
      if (i > j) break;
      const one = distances[i];
      distances[i++] = distances[j];
      distances[j--] = one;
    }
    if (j < wanted) low = i;
    if (i > wanted) high = j;
  }
  return distances[wanted];
}

/**
 * The same without a list of all distances: of sorted values, how many distances are within a bound
 * is counted in one pass, and the bound is halved down to the last bit. Doubles above zero are in
 * the order of their bits (IEEE 754), so 64 passes give the distance exactly.
 */
function seekDistance(values: ArrayLike<number>, rank: number): number {
  const sorted = new Float64Array(values).sort();
  const bound = new Float64Array(1);
  const bits = new BigUint64Array(bound.buffer);
  let low = 0n;
  bound[0] = sorted[sorted.length - 1] - sorted[0];
  let high = bits[0];
  while (low < high) {
    const middle = (low + high) >> 1n;
    bits[0] = middle;
    if (countWithin(sorted, bound[0]) >= rank) high = middle;
    else low = middle + 1n;
  }
  bits[0] = low;
  return bound[0];
}

function countWithin(sorted: Float64Array, bound: number): number {
  let count = 0;
  for (let low = 0, high = 1; high < sorted.length; high++) {
    while (sorted[high] - sorted[low] > bound) low++;
    count += high - low;
  }
  return count;
}

/** Gaussian efficiency of Qn against the standard deviation (Rousseeuw & Croux 1993). */
export const qnEfficiency = 0.82;

const factorsToNine = [0.399, 0.994, 0.512, 0.844, 0.611, 0.857, 0.669, 0.872];

function smallSampleFactor(n: number): number {
  if (n <= 9) return factorsToNine[n - 2];
  return n % 2 === 1 ? n / (n + 1.4) : n / (n + 3.8);
}

/**
 * The standard normal quantile with the same tail as a Student t value, so that scores from
 * small samples compare with those from large ones.
 *
 * Source: D. L. Wallace, "Bounds on normal approximations to Student's and the chi-square
 * distributions", Ann. Math. Stat. 30(4), 1959: z ≈ (8ν+1)/(8ν+3)·√(ν·ln(1+t²/ν)).
 *
 * @param t Student t value
 * @param freedom degrees of freedom ν; infinite gives t back
 * @example
 * normalFromStudent(2.228, 10).toFixed(1); // "2.0"
 */
export function normalFromStudent(t: number, freedom: number): number {
  if (!Number.isFinite(freedom) || freedom > 1e6) return t;
  const factor = (8 * freedom + 1) / (8 * freedom + 3);
  return Math.sign(t) * factor * Math.sqrt(freedom * Math.log1p((t * t) / freedom));
}
