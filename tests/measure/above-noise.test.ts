import { describe, expect, it } from "vitest";
import { computePowerReading, computeUpperPower } from "../../src/measure/above-noise.js";

// An amplitude fitted in two quadratures of variance v: E[a²] = A² + 2v, var[a²] = 4A²v + 4v² (the
// non-central χ² distribution of two degrees of freedom; S. M. Kay, "Fundamentals of Statistical Signal
// Processing: Detection Theory", 1998, chapter 2). Worked by hand from these.

const db = (power: number) => 10 * Math.log10(power);

describe("computePowerReading", () => {
  it("takes the noise off a power that stands clear of it", () => {
    const v = 0.01;
    const power = 1 - 2 * v;
    const stdDev = Math.sqrt(4 * power * v + 4 * v * v);
    const reading = computePowerReading([1], [v], 10);
    expect(reading.value).toBeCloseTo(db(power) - 20, 12);
    expect(reading.uncertainty).toBeCloseTo(-db(1 - (2 * stdDev) / power), 12);
    expect(reading).not.toHaveProperty("limitedBy");
  });

  it("adds up several, each with its own noise", () => {
    const [heard, variances] = [
      [0.5, 0.2, 0.001],
      [1e-4, 2e-4, 3e-4],
    ];
    // the third is beneath its noise: it takes power off, and adds no product with it
    const each = heard.map((a, k) => a * a - 2 * variances[k]);
    const power = each[0] + each[1] + each[2];
    const mixed = 4 * (each[0] * variances[0] + each[1] * variances[1]);
    const noise = 4 * variances.reduce((sum, v) => sum + v * v, 0);
    const reading = computePowerReading(heard, variances, 1);
    expect(reading.value).toBeCloseTo(db(power), 12);
    expect(reading.uncertainty).toBeCloseTo(-db(1 - (2 * Math.sqrt(mixed + noise)) / power), 12);
  });

  it("is never surer than the fit's own rounding", () => {
    expect(computePowerReading([1], [1e-12], 1).uncertainty).toBe(0.01);
  });

  it("is a bound where it stands less than three deviations clear", () => {
    // power/deviation = 3: p² = 9·(4pv + 4v²), so p = (18 + √(18² + 36))·v
    const v = 0.01;
    const edge = (18 + Math.sqrt(18 ** 2 + 36)) * v;
    const heard = (power: number) => computePowerReading([Math.sqrt(power + 2 * v)], [v], 2);
    expect(heard(1.001 * edge)).not.toHaveProperty("limitedBy");
    const bound = heard(0.999 * edge);
    expect(bound).toMatchObject({ limitedBy: "noise", bound: "upper", uncertainty: 6, unit: "dB" });
    expect(bound.value).toBeCloseTo(db(computeUpperPower(0.999 * edge, v, 4 * v * v) / 4), 9);
  });

  it("bounds by the largest variance, whichever line has it", () => {
    const one = computePowerReading([0.01, 0.01], [0.001, 0.01], 1);
    const other = computePowerReading([0.01, 0.01], [0.01, 0.001], 1);
    expect(one.value).toBeCloseTo(other.value, 12);
    const noise = 4 * (0.001 ** 2 + 0.01 ** 2);
    expect(one.value).toBeCloseTo(db(computeUpperPower(0, 0.01, noise)), 9);
  });

  it("of nothing at all is finite", () => {
    expect(Number.isFinite(computePowerReading([0], [0], 1).value)).toBe(true);
  });
});

describe("computeUpperPower", () => {
  /** Where b = p + 2·√(4bv + n): the larger root of b² − (2p + 16v)b + p² − 4n. */
  const root = (p: number, v: number, n: number) =>
    p + 8 * v + Math.sqrt((p + 8 * v) ** 2 - p * p + 4 * n);

  it.each([
    [1, 0.01, 0.001],
    [2, 0.01, 0.01],
    [0.5, 0.2, 0.1],
    [0, 0.01, 0.0004],
  ])("of a power of %d lies two of its own deviations above it", (p, v, n) => {
    // found by repetition, to 0.15 dB
    expect(Math.abs(db(computeUpperPower(p, v, n) / root(p, v, n)))).toBeLessThan(0.15);
  });

  it("takes a power below nought for none", () => {
    expect(computeUpperPower(-5, 0.01, 0.0004)).toBe(computeUpperPower(0, 0.01, 0.0004));
    expect(computeUpperPower(3, 0, 0)).toBe(3);
  });
});
