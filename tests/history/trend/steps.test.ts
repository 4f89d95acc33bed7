import { describe, expect, it } from "vitest";
import {
  computeChanceOf,
  computeStepCrossing,
  fitSteps,
} from "../../../src/history/trend/steps.js";
import { computeTrends } from "../../../src/history/trend/trends.js";
import { renderTrends } from "../../../src/report/trends.js";
import { createRng, gaussian, uniform } from "../../../src/simulate/rng.js";
import { reading } from "../../helpers/families.js";
import { family, round } from "../rounds-of.js";

// Expected: closed forms of the negative binomial distribution for the chances; a Poisson process that is
// played at a rate which the model does not know for the intervals.

const series = (ys: readonly number[], jumpsAt: readonly number[]) => ({
  points: ys.map((y, k) => ({
    round: k,
    years: k - ys.length + 1,
    y,
    epoch: jumpsAt.filter((at) => at <= k).length,
  })),
  jumps: jumpsAt.map((at) => ({ round: at, y: ys[at], expected: ys[at - 1] })),
  leftOut: [],
});

describe("steps", () => {
  it("are those that all lead to the worse, two or more", () => {
    const two = series([0, 0, 3, 3, 3, 7, 7], [2, 5]);
    expect(fitSteps(two, 1)).toEqual({
      count: 2,
      years: 6,
      step: 3.5,
      least: 3,
      most: 4,
      lastY: 7,
    });
    expect(fitSteps(two, -1)).toBeUndefined();
    expect(fitSteps(series([0, 0, 3, 3], [2]), 1)).toBeUndefined();
    expect(fitSteps(series([0, 0, 3, 3, 3], [2, 4]), 1)).toBeUndefined();
    expect(fitSteps(series([7, 7, 4, 4, 4, 0, 0], [2, 5]), -1)).toEqual({
      count: 2,
      years: 6,
      step: -3.5,
      least: -3,
      most: -4,
      lastY: 0,
    });
    expect(fitSteps(series([0, 0, 3, 3, 0, 0], [2, 4]), 1)).toBeUndefined();
  });

  it.each([
    // One less p^r, and less p^r (1 + r (1 − p)), with p = years/(years + within), r = count.
    [1, 3, 2, 6, 1 - (6 / 9) ** 2],
    [2, 3, 2, 6, 1 - (6 / 9) ** 2 * (1 + 2 / 3)],
    [1, 10, 4, 10, 1 - 0.5 ** 4],
    // and r (r + 1)/2 (1 − p)² more for the third
    [3, 3, 2, 6, 1 - (6 / 9) ** 2 * (1 + 2 / 3 + 3 / 9)],
    [3, 10, 4, 10, 1 - 0.5 ** 4 * (1 + 4 / 2 + 10 / 4)],
  ])("come: at least %d within %d years, after %d in %d", (steps, within, count, years, chance) => {
    expect(computeChanceOf(steps, within, count, years)).toBeCloseTo(chance, 12);
  });

  it("tell when a height is reached: at the latest by the smallest, at the earliest by the largest", () => {
    const law = { count: 2, years: 6, step: 3.5, least: 3, most: 4, lastY: 7 };
    // One step of any size: P(T ≤ t) = 1 − (6/(6+t))²; half of them by t = 6(√2 − 1).
    const found = computeStepCrossing(law, 9.9);
    expect(found?.years).toBeCloseTo(6 * (Math.SQRT2 - 1), 6);
    expect(found?.from).toBeCloseTo(6 * (0.975 ** -0.5 - 1), 6);
    expect(found?.until).toBeCloseTo(6 * (0.025 ** -0.5 - 1), 6);
    expect(computeStepCrossing(law, 6)).toBeUndefined();
    expect(computeStepCrossing(law, 7)).toBeUndefined();
    // One step of the middle or the largest leads there, two of the smallest.
    const one = computeStepCrossing(law, 10.5);
    expect(one?.years).toBeCloseTo(6 * (Math.SQRT2 - 1), 6);
    expect(one?.from).toBeCloseTo(6 * (0.975 ** -0.5 - 1), 6);
    expect(computeChanceOf(2, one?.until ?? 0, 2, 6)).toBeCloseTo(0.975, 9);
    // Three of the middle and of the largest, four of the smallest.
    const three = computeStepCrossing(law, 17);
    expect(computeChanceOf(3, three?.years ?? 0, 2, 6)).toBeCloseTo(0.5, 9);
    expect(computeChanceOf(3, three?.from ?? 0, 2, 6)).toBeCloseTo(0.025, 9);
    expect(computeChanceOf(4, three?.until ?? 0, 2, 6)).toBeCloseTo(0.975, 9);
  });

  it("hold the date in 90 to 99 of 100 played contacts, whose steps are of two sizes", () => {
    const rng = createRng("steps that come at random");
    let within = 0;
    let all = 0;
    const limit = 20;
    while (all < 600) {
      const rate = 0.25 + 0.5 * uniform(rng);
      const watched = 10;
      let [t, y] = [0, 0];
      const sizes: number[] = [];
      let known: { count: number; y: number } | undefined;
      while (y < limit) {
        t -= Math.log(1 - uniform(rng)) / rate;
        if (known === undefined && t > watched) known = { count: sizes.length, y };
        const size = uniform(rng) < 0.5 ? 3 : 5;
        y += size;
        sizes.push(size);
      }
      if (known === undefined || known.count < 2) continue;
      const seen = sizes.slice(0, known.count).sort((a, b) => a - b);
      const middle =
        (seen[Math.floor((seen.length - 1) / 2)] + seen[Math.ceil((seen.length - 1) / 2)]) / 2;
      const law = {
        count: known.count,
        years: watched,
        step: middle,
        least: seen[0],
        most: seen[seen.length - 1],
        lastY: known.y,
      };
      const found = computeStepCrossing(law, limit);
      if (!found) continue;
      all++;
      if (t - watched >= found.from && t - watched <= found.until) within++;
    }
    expect(within / all).toBeGreaterThan(0.9);
    expect(within / all).toBeLessThan(0.99);
  });

  it("are a law of a desk's trends, with a date, and told in one line", () => {
    const rng = createRng("noise that steps");
    const heights = [0, 0, 0, 6, 6, 6, 6, 12, 12, 12];
    const rounds = heights.map((height, k) =>
      round(
        `${2030 + k}-04-02`,
        family(8, (path) => ({
          readings: { thd: reading(-80 + (path === 2 ? height : 0) + 0.05 * gaussian(rng)) },
        })),
      ),
    );
    const limits = () => [{ name: "dull", value: -64, side: "upper" as const }];
    const trends = computeTrends(rounds, limits);
    const found = trends.paths.find(({ path, steps }) => path.startsWith("3/") && steps);
    expect(found?.jumps).toHaveLength(2);
    expect(found?.steps?.count).toBe(2);
    expect(found?.steps?.change).toBeCloseTo(6, 0);
    // Two steps in nine years; the next leads there: 9(√2 − 1) years.
    expect(found?.crossing?.years).toBeCloseTo(9 * (Math.SQRT2 - 1), 1);
    expect(trends.paths.filter(({ steps }) => steps)).toHaveLength(1);
    expect(renderTrends(trends, { width: 80, colour: "none" })).toMatch(/Ages in steps: 3\//);
  });
});
