import { describe, expect, it } from "vitest";
import { diagnosePath, explainPath } from "../../src/diagnose/diagnose.js";
import { computeFamilyStats, groupFamilies } from "../../src/rank/family-stats.js";
import { rankPaths } from "../../src/rank/rank.js";
import { family, measurement, reading } from "../helpers/families.js";

describe("explainPath", () => {
  it("shows the numbers from which the probabilities follow: prior × e^(share × nats), summing to one", () => {
    const inputs = family(
      Array.from({ length: 12 }, (_, i) =>
        measurement({
          gain: reading(0.02 * i),
          noiseA: reading(i === 0 ? -92 : -105 + 0.1 * i, "dBFS", 0.1),
        }),
      ),
    );
    const ranked = rankPaths(inputs)[0];
    const around = { usual: computeFamilyStats(groupFamilies(inputs).get("mic") ?? []) };
    const { causes, evidenceShare } = explainPath(inputs[0], ranked, around);
    const weights = causes.map((c) => c.prior * Math.exp(evidenceShare * c.logLikelihood));
    const total = weights.reduce((sum, w) => sum + w, 0);
    causes.forEach((cause, i) => {
      expect(cause.probability).toBeCloseTo(weights[i] / total, 10);
      if (cause.id === undefined) return;
      const sum = cause.parts.reduce((s, { nats }) => s + nats, 0);
      expect(cause.logLikelihood).toBeCloseTo(sum, 10);
    });
    expect(causes[0].id).toBe(diagnosePath(inputs[0], ranked, around)[0].cause);
  });
});
