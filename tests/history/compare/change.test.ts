import { describe, expect, it, test } from "vitest";
import {
  classifyCourseAt,
  computeAssumedScatter,
  computeAssumedShift,
  judgeChange,
} from "../../../src/history/compare/change.js";

// Expected values: worked by hand from the quadrature of JCGM 100, 5.1.2, and the shares that are
// granted from day to day: a tenth of a floor of no concern, a quarter where siblings show nothing.

const difference = { difference: 3, measured: 0.8, repeat: 0.3, least: 2 };

test("a scatter is granted as siblings show the rest, or do not", () => {
  const crowd = (count: number) => ({ count, median: 0, scale: 1 });
  expect(computeAssumedScatter(2, undefined)).toBeCloseTo(0.5, 12);
  expect(computeAssumedScatter(2, crowd(5))).toBeCloseTo(0.5, 12);
  expect(computeAssumedScatter(2, crowd(6))).toBeCloseTo(0.2, 12);
  expect(computeAssumedShift(2)).toBeCloseTo(0.2, 12);
});

describe("judgeChange", () => {
  it("without siblings counts uncertainty, repeatability and what is granted", () => {
    // √(0.4² + 0.5² + 0.3²) = √0.5
    const found = judgeChange(difference, undefined);
    expect(found).toMatchObject({ difference: 3, own: 3, real: true });
    expect(found.uncertainty).toBeCloseTo(2 * Math.sqrt(0.5), 12);
    expect(found.significance).toBeCloseTo(3 / Math.sqrt(0.5), 12);
    expect(found).not.toHaveProperty("shift");
    expect(found).not.toHaveProperty("bound");
  });

  it("takes the common shift off, and the siblings' scatter into account", () => {
    // √(0.6² + 0.4² + 0.2² + 0.3²)
    const crowd = { count: 20, median: 1, scale: 0.6 };
    const found = judgeChange(difference, crowd);
    expect(found).toMatchObject({ difference: 3, shift: 1, own: 2 });
    expect(found.uncertainty).toBeCloseTo(2 * Math.sqrt(0.65), 12);
    // Few degrees of freedom make it smaller than the score, never larger.
    expect(found.significance).toBeLessThan(2 / Math.sqrt(0.65));
    expect(found.significance).toBeGreaterThan(0.9 * (2 / Math.sqrt(0.65)));
    expect(found.real).toBe(false);
  });

  it.each([
    [3.49, false],
    [3.5, true],
    [-3.49, false],
    [-3.5, true],
  ])("a change of %d standard deviations is significant: %s", (deviations, real) => {
    const one = { difference: deviations, measured: 2, repeat: 0, least: 0 };
    expect(judgeChange(one, undefined).real).toBe(real);
  });

  it.each([
    ["lower", 9, true],
    ["lower", -9, false],
    ["upper", 9, false],
    ["upper", -9, true],
  ] as const)("a difference that is a %s bound, of %d, shows a change: %s", (bound, size, real) => {
    const one = { difference: size, measured: 2, repeat: 0, least: 0, bound };
    expect(judgeChange(one, undefined)).toMatchObject({ real, bound });
  });

  it("a bound of nothing shows nothing", () => {
    const crowd = { count: 9, median: 1, scale: 0 };
    for (const bound of ["lower", "upper"] as const) {
      const one = { difference: 1, measured: 0, repeat: 0, least: 0, bound };
      expect(judgeChange(one, crowd).real).toBe(false);
    }
  });
});

test.each([
  ["up", 1, undefined, "worse"],
  ["up", -1, { offThen: 3, offNow: 2 }, "better"],
  ["down", 1, { offThen: 0, offNow: 9 }, "better"],
  ["none", 1, { offThen: 0, offNow: 9 }, "neither"],
  ["both", 1, undefined, "worse"],
  ["both", 0, { offThen: 0, offNow: 9 }, "neither"],
  ["both", -1, { offThen: 3, offNow: 2 }, "better"],
  ["both", 1, { offThen: -3, offNow: -2 }, "better"],
  ["both", 1, { offThen: 1, offNow: 2 }, "worse"],
  ["both", -1, { offThen: -1, offNow: -2 }, "worse"],
  ["both", 1, { offThen: -1, offNow: 1 }, "worse"],
] as const)("harm %s, change %d, off its siblings %j: %s", (harm, own, place, course) => {
  expect(classifyCourseAt(harm, own, place)).toBe(course);
});
