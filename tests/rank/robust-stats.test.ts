import { describe, expect, it, test } from "vitest";
import {
  computeScatter,
  scoreDeviation,
  scoreSiblingDeviation,
} from "../../src/rank/robust-stats.js";

// Significances: exact, `norm.isf(t.sf(score, freedom))` of scipy 1.17.1, which the approximation of
// D. L. Wallace (1959) meets within one per cent. All else: worked by hand from the formulas named
// beside it.
function expectNear(significance: number, exact: number) {
  expect(Math.abs(significance / exact - 1)).toBeLessThan(0.01);
}

/** Degrees of freedom of Qn: its efficiency of 82 % (Rousseeuw & Croux, 1993) of n − 1. */
const qnFreedom = (count: number) => 0.82 * (count - 1);

test("one value has a median and no scatter", () => {
  expect(computeScatter([3])).toStrictEqual({ count: 1, median: 3, scale: 0 });
});

test("two values: the mean, and Qn = 2.2219 × 0.399 × their distance", () => {
  const { count, median, scale } = computeScatter([1, 5]);
  expect([count, median]).toStrictEqual([2, 3]);
  expect(scale).toBeCloseTo(2.2219 * 0.399 * 4, 9);
});

describe("scoreDeviation", () => {
  const scatter = { count: 12, median: 4, scale: 2 };

  it("adds the siblings' scatter, half the expanded uncertainty and the granted in quadrature", () => {
    // 2² + (4/2)² + 1² = 3² (JCGM 100, 5.1.2)
    const { deviation, spread, score } = scoreDeviation(10, scatter, 4, 1);
    expect([deviation, spread, score]).toStrictEqual([6, 3, 2]);
  });

  it.each([
    // ν = own · 3⁴/2⁴ (Welch–Satterthwaite, JCGM 100, G.4.1)
    [12, 10, 1.94755],
    [5, 10, 1.86535],
    [5, 16, 3.30016],
    [5, -2, -1.86535],
  ])("of %i siblings, a value of %d has its significance", (count, value, significance) => {
    const found = scoreDeviation(value, { ...scatter, count }, 4, 1);
    expectNear(found.significance, significance);
  });

  it("takes the degrees of freedom that a scatter brings", () => {
    const { significance } = scoreDeviation(10, { ...scatter, freedom: 3 }, 4, 1);
    expectNear(significance, 1.85418);
  });

  it("has nothing to count by where nothing scatters", () => {
    expect(scoreDeviation(5, { count: 3, median: 4, scale: 0 }, 0, 0)).toStrictEqual({
      deviation: 1,
      spread: 0,
      score: 0,
      significance: 0,
    });
  });

  it("counts by what is known where only the siblings do not scatter", () => {
    // nothing is estimated, so the score is normal as it stands
    const { score, significance } = scoreDeviation(4.6, { count: 3, median: 4, scale: 0 }, 0, 0.2);
    expect(score).toBeCloseTo(3, 12);
    expect(significance).toBeCloseTo(3, 12);
  });
});

describe("scoreSiblingDeviation", () => {
  const granted = 0.15;
  /** What is known beforehand: a standard deviation of two granted ones, worth 5 degrees of freedom. */
  const [prior, priorFreedom] = [2 * granted, 5];
  /** Variance and freedom after Smyth (2004): (d₀s₀² + ds²)/(d₀ + d), d₀ + d. */
  function moderated(count: number, scale: number, excess = 1) {
    const own = qnFreedom(count);
    const sum = priorFreedom * (excess * prior) ** 2 + own * scale ** 2;
    return sum / (priorFreedom + own);
  }

  it.each([
    [4, 0.2, 0, 1, 3.09073],
    [5, 0.2, 0.1, 1, 3.19145],
    [4, 0.2, 0, 2, 1.96802],
  ])("of %i siblings that scatter by %d: moderated by the prior", (count, scale, u, excess, z) => {
    const scatter = { count, median: -1, scale };
    const found = scoreSiblingDeviation(0.2, scatter, u, granted, excess);
    const variance = moderated(count, scale, excess) + (u / 2) ** 2 + granted ** 2;
    expect(found.deviation).toBeCloseTo(1.2, 12);
    expect(found.spread).toBeCloseTo(Math.sqrt(variance), 12);
    expect(found.score).toBeCloseTo(1.2 / Math.sqrt(variance), 12);
    expectNear(found.significance, z);
  });

  it("takes a moderated scatter of six or more siblings at a share, never below their own", () => {
    // d₀/(d₀ + d) of the moderated variance, or the siblings' own where that is more
    const own = qnFreedom(12);
    const shrunk = (moderated(12, 0.1) * priorFreedom) / (priorFreedom + own);
    const narrow = scoreSiblingDeviation(1.2, { count: 12, median: 0, scale: 0.1 }, 0, granted);
    expect(shrunk).toBeGreaterThan(0.1 ** 2);
    expect(narrow.spread).toBeCloseTo(Math.sqrt(shrunk + granted ** 2), 12);
    expectNear(narrow.significance, 5.75884);
    const wider = scoreSiblingDeviation(2, { count: 12, median: 0, scale: 0.5 }, 0.1, granted);
    expect(wider.spread).toBeCloseTo(Math.hypot(0.5, 0.05, granted), 12);
    expectNear(wider.significance, 3.19609);
  });

  it("leaves a family that plainly scatters more to its own figures", () => {
    // 1² is more than 3·(1 + 8/11²) of the prior's 0.3²
    const found = scoreSiblingDeviation(5, { count: 12, median: 0, scale: 1 }, 0, granted);
    expect(found.spread).toBeCloseTo(Math.hypot(1, granted), 12);
    expectNear(found.significance, 3.39194);
  });

  it("finds what is far out even for the widest healthy family, however few siblings", () => {
    // 30 of three that scatter by 2: 2.6 by their own figures, 5.1 with 8 degrees of freedom
    const found = scoreSiblingDeviation(30, { count: 3, median: 0, scale: 2 }, 0, granted);
    expect(found.spread).toBeCloseTo(Math.hypot(2, granted), 12);
    expectNear(found.significance, 5.09341);
    const below = scoreSiblingDeviation(-30, { count: 3, median: 0, scale: 2 }, 0, granted);
    expectNear(below.significance, -5.09341);
  });

  it("has for a single sibling the prior's scatter alone, that of the difference of two", () => {
    const found = scoreSiblingDeviation(3, { count: 1, median: 0, scale: 0 }, 0.2, granted);
    expect(found.spread).toBeCloseTo(Math.hypot(Math.SQRT2 * prior, 0.1, granted), 12);
    expectNear(found.significance, 3.58427);
  });
});
