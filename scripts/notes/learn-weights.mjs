/**
 * Multinomial logistic regression with an elastic net, by FISTA (A. Beck and M. Teboulle, "A fast
 * iterative shrinkage-thresholding algorithm for linear inverse problems", 2009; from memory).
 *
 * @param list for each note its features with their shares, and the classes it is of
 * @param classes all of them
 * @param settings in how many notes a feature must be, the ridge, the lasso, and the rounds
 * @returns weights of each feature, a row a feature; the last row is what no feature says
 */
export function learnWeights(list, classes, { most, ridge, lasso, rounds }) {
  const counts = new Map();
  for (const { features } of list) {
    for (const feature of features.keys()) counts.set(feature, (counts.get(feature) ?? 0) + 1);
  }
  const names = [...counts].filter(([, count]) => count >= most).map(([name]) => name);
  const at = new Map(names.map((name, k) => [name, k]));
  const [n, width, K] = [list.length, names.length + 1, classes.length];
  const begins = new Int32Array(n + 1);
  const cells = list.flatMap(({ features }, i) => {
    const row = [...features].flatMap(([name, share]) =>
      at.has(name) ? [[at.get(name), share]] : [],
    );
    begins[i + 1] = begins[i] + row.length + 1;
    return [...row, [width - 1, 1]];
  });
  const columns = Int32Array.from(cells, ([k]) => k);
  const shares = Float64Array.from(cells, ([, share]) => share);
  const wanted = new Float64Array(n * K);
  for (const [i, { named }] of list.entries()) {
    for (const one of named) wanted[i * K + classes.indexOf(one)] += 1 / named.length;
  }
  const step = 1 / (findCurvature() / 2 + ridge);
  let weights = new Float64Array(width * K);
  const ahead = weights.slice();
  let t = 1;
  const z = new Float64Array(K);
  for (let round = 0; round < rounds; round++) {
    const slope = new Float64Array(width * K);
    for (let i = 0; i < n; i++) {
      z.fill(0);
      for (let j = begins[i]; j < begins[i + 1]; j++) {
        const [row, share] = [columns[j] * K, shares[j]];
        for (let c = 0; c < K; c++) z[c] += share * ahead[row + c];
      }
      let top = z[0];
      for (let c = 1; c < K; c++) if (z[c] > top) top = z[c];
      let sum = 0;
      for (let c = 0; c < K; c++) {
        z[c] = Math.exp(z[c] - top);
        sum += z[c];
      }
      for (let c = 0; c < K; c++) z[c] = z[c] / sum - wanted[i * K + c];
      for (let j = begins[i]; j < begins[i + 1]; j++) {
        const [row, share] = [columns[j] * K, shares[j]];
        for (let c = 0; c < K; c++) slope[row + c] += share * z[c];
      }
    }
    const next = new Float64Array(width * K);
    // Sums that no word moves come last; they are not held small.
    const free = (width - 1) * K;
    for (let k = 0; k < next.length; k++) {
      const moved = ahead[k] - step * (slope[k] + (k < free ? ridge * ahead[k] : 0));
      next[k] = k < free ? Math.sign(moved) * Math.max(0, Math.abs(moved) - step * lasso) : moved;
    }
    const later = (1 + Math.sqrt(1 + 4 * t * t)) / 2;
    const push = (t - 1) / later;
    for (let k = 0; k < next.length; k++) ahead[k] = next[k] + push * (next[k] - weights[k]);
    [weights, t] = [next, later];
  }
  return { names: [...names, ""], weights, K };

  /** The curvature is at most half that of the features (D. Böhning, 1992; from memory). */
  function findCurvature() {
    let size = 0;
    let v = new Float64Array(width).fill(1 / Math.sqrt(width));
    for (let round = 0; round < 30; round++) {
      const next = new Float64Array(width);
      for (let i = 0; i < n; i++) {
        let dot = 0;
        for (let j = begins[i]; j < begins[i + 1]; j++) dot += shares[j] * v[columns[j]];
        for (let j = begins[i]; j < begins[i + 1]; j++) next[columns[j]] += shares[j] * dot;
      }
      size = Math.sqrt(next.reduce((sum, one) => sum + one * one, 0));
      v = next.map((one) => one / size);
    }
    return size;
  }
}
