import { describe, expect, it } from "vitest";
import { median, normalFromStudent, qn } from "../../src/dsp/robust.js";
import { gaussian } from "../helpers/noise.js";

describe("median", () => {
  it("is the middle value, or the mean of the middle two", () => {
    expect(median([3, 1, 2])).toBe(2);
    expect(median([4, 1, 3, 2])).toBe(2.5);
    expect(() => median([])).toThrow(RangeError);
  });
});

describe("qn", () => {
  it("estimates the standard stdDev of Gaussian data without bias at every size from 2 to 96", () => {
    // closed form: σ = 1; standard error of each mean below 1.5 %
    const next = gaussian(4);
    for (const n of [2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 16, 24, 48, 96]) {
      let sum = 0;
      const runs = n < 12 ? 6000 : 1500;
      for (let k = 0; k < runs; k++) sum += qn(Array.from({ length: n }, next));
      expect(sum / runs, `n = ${n}`).toBeGreaterThan(0.965);
      expect(sum / runs, `n = ${n}`).toBeLessThan(1.035);
    }
  });

  it("brings two to nine values to scale by the published factors", () => {
    // C. Croux, P. J. Rousseeuw, "Time-efficient algorithms for two highly robust estimators of
    // scale", COMPSTAT 1992: dₙ for n = 2 … 9. Of 1, 2, 4, 8 … the distances are all known.
    const published = [0.399, 0.994, 0.512, 0.844, 0.611, 0.857, 0.669, 0.872];
    published.forEach((factor, i) => {
      const n = i + 2;
      const values = Array.from({ length: n }, (_, k) => 2 ** k);
      const distances = values.flatMap((a, k) => values.slice(0, k).map((b) => a - b));
      const h = (n >> 1) + 1;
      const kth = distances.sort((a, b) => a - b)[(h * (h - 1)) / 2 - 1];
      expect(qn(values), `n = ${n}`).toBeCloseTo(2.2219 * factor * kth, 12);
    });
  });

  it("is the same of few values, whose distances are all sorted, and of many, of which one is sought", () => {
    // Expected: the definition, from a sorted list of all distances.
    const byDefinition = (values: readonly number[]) => {
      const n = values.length;
      const h = (n >> 1) + 1;
      const all = values.flatMap((a, i) => values.slice(0, i).map((b) => Math.abs(a - b)));
      const kth = Float64Array.from(all).sort()[(h * (h - 1)) / 2 - 1];
      return 2.2219 * (n % 2 === 1 ? n / (n + 1.4) : n / (n + 3.8)) * kth;
    };
    const next = gaussian(11);
    for (const n of [10, 63, 64, 65, 66, 101, 240]) {
      const values = Array.from({ length: n }, () => 1e-3 * next());
      expect(qn(values), `${n}`).toBe(byDefinition(values));
      // ties, and none apart
      const rounded = values.map((value) => Math.round(value * 300));
      expect(qn(rounded), `${n} rounded`).toBe(byDefinition(rounded));
      expect(qn(values.map(() => 4))).toBe(0);
    }
  });

  it("takes forty thousand values within a second", () => {
    const next = gaussian(12);
    const values = Array.from({ length: 40_000 }, next);
    const began = process.cpuUsage();
    expect(qn(values)).toBeCloseTo(1, 1);
    expect(process.cpuUsage(began).user).toBeLessThan(1e6);
  });

  it("keeps its head with two in five values damaged", () => {
    const next = gaussian(8);
    const values = Array.from({ length: 24 }, (_, i) => (i < 9 ? 50 + i : next()));
    expect(qn(values)).toBeLessThan(4);
  });
});

describe("normalFromStudent", () => {
  it("follows the tables of Student's t", () => {
    // scipy.stats.norm.isf(scipy.stats.t.sf(t, nu)), scipy 1.17
    const table: [number, number, number][] = [
      [2, 3, 1.47831],
      [4, 3, 2.19717],
      [8, 3, 2.87217],
      [2, 5, 1.63552],
      [4, 5, 2.5648],
      [8, 5, 3.48458],
      [2, 10, 1.79041],
      [4, 10, 3.02113],
      [8, 10, 4.38171],
      [2, 19, 1.88078],
      [4, 19, 3.36473],
      [8, 19, 5.2321],
    ];
    for (const [t, nu, z] of table) {
      expect(Math.abs(normalFromStudent(t, nu) / z - 1), `t=${t} ν=${nu}`).toBeLessThan(0.02);
    }
    expect(normalFromStudent(3, Number.POSITIVE_INFINITY)).toBe(3);
  });
});
