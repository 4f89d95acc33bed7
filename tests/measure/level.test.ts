import { describe, expect, it } from "vitest";
import { computeCoverageFactor } from "../../src/measure/readings/level.js";

/** Normal distribution (M. Abramowitz, I. Stegun, "Handbook of Mathematical Functions", 7.1.26). */
function normal(x: number): number {
  const z = Math.abs(x) / Math.SQRT2;
  const t = 1 / (1 + 0.3275911 * z);
  const p =
    ((((1.061405429 * t - 1.453152027) * t + 1.421413741) * t - 0.284496736) * t + 0.254829592) * t;
  const erf = 1 - p * Math.exp(-z * z);
  return 0.5 * (1 + Math.sign(x) * erf);
}

/** Share of a·cos φ + noise within ±t, any φ alike, unit variance in all of which `line` is the line's. */
function held(t: number, line: number): number {
  const a = Math.sqrt(2 * line);
  const stdDev = Math.sqrt(1 - line);
  let sum = 0;
  for (let k = 0; k < 1000; k++) {
    const off = a * Math.cos((Math.PI * (k + 0.5)) / 1000);
    sum += normal((t - off) / stdDev) - normal((-t - off) / stdDev);
  }
  return sum / 1000;
}

describe("the factor to 95 % of noise and a mains line of unknown phase", () => {
  // expected: the sum's distribution, integrated over the phase
  it.each([0, 0.1, 0.3, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 0.999])(
    "holds 93 to 97.5 % where the line makes %f of the variance",
    (line) => {
      const share = held(computeCoverageFactor(line), line);
      expect(share).toBeGreaterThan(0.93);
      expect(share).toBeLessThan(0.975);
    },
  );
});
