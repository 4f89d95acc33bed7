import { describe, expect, it } from "vitest";
import {
  type ComparisonResult,
  evaluateComparison,
  findDoubtfulPoint,
  findNearestPoint,
  listSlacks,
} from "../../../src/service/limits/evaluate-comparison.js";
import type { OperandValue } from "../../../src/service/limits/operand-reader.js";
import type { Comparison } from "../../../src/service/limits/types.js";
import { createRng, gaussian } from "../../../src/simulate/rng.js";
import { compiled, round } from "./rounds.js";

function value(number: number, uncertainty = 0, parts: Partial<OperandValue> = {}): OperandValue {
  return { value: number, unit: "dB", uncertainty, common: 0, source: "round gain", ...parts };
}

async function judged(text: string, ...values: readonly OperandValue[]) {
  const { comparisons } = await compiled(text, round([]), round([]));
  return evaluateComparison(comparisons[0], values);
}

const verdictOf = async (text: string, ...values: readonly OperandValue[]) =>
  (await judged(text, ...values))?.verdict;

// Guarded acceptance and rejection with a guard band of the expanded uncertainty on either side
// (JCGM 106:2012, 8.3; ISO 14253-1).
describe("the decision rule", () => {
  it.each([
    [0.5, "pass"],
    [0.8, "pass"],
    [0.81, "undecided"],
    [1, "undecided"],
    [1.19, "undecided"],
    [1.2, "fail"],
    [2, "fail"],
  ])("for at most 1 dB and ± 0.2 dB, %d dB is %s", async (gain, verdict) => {
    expect(await verdictOf("gain <= 1 dB", value(gain, 0.2))).toBe(verdict);
    expect(await verdictOf("gain >= -1 dB", value(-gain, 0.2))).toBe(verdict);
  });

  it("leaves nothing undecided that is certain", async () => {
    expect(await verdictOf("gain <= 1 dB", value(1))).toBe("pass");
    expect(await verdictOf("gain < 1 dB", value(1))).toBe("fail");
    expect(await verdictOf("gain > 1 dB", value(1))).toBe("fail");
    expect(await verdictOf("polarity == 1", value(1))).toBe("pass");
    expect(await verdictOf("polarity == 1", value(-1))).toBe("fail");
  });

  it("passes what is really at the limit as seldom as the normal tail beyond two deviations", async () => {
    const { comparisons } = await compiled("gain <= 1 dB");
    const rng = createRng("guard band");
    const draws = 20_000;
    let passed = 0;
    for (let k = 0; k < draws; k++) {
      const seen = 1 + 0.1 * gaussian(rng);
      if (evaluateComparison(comparisons[0], [value(seen, 0.2)])?.verdict === "pass") passed++;
    }
    // Φ(−2) = 2.275 %; four deviations of the binomial are 0.42 %.
    expect(passed / draws).toBeGreaterThan(0.0185);
    expect(passed / draws).toBeLessThan(0.027);
  });

  it("passes over what passes for certain along a band, doubts and all", async () => {
    const { comparisons } = await compiled("gain <= 1 dB");
    const before = evaluateComparison(comparisons[0], [value(1)]);
    if (before === undefined) throw new Error("no verdict");
    // A slack of 0.5 dB, from the third on of 0.1 dB, under a doubt of 0.2 dB.
    const columns = [
      { values: Float64Array.of(0.5, 0.5, 0.9, 0.5), doubts: new Float64Array(4).fill(0.2) },
    ];
    const slacks = listSlacks(comparisons, columns);
    const find = (from: number) => findDoubtfulPoint(comparisons, columns, slacks, from, before);
    expect([find(0), find(1), find(2), find(3)]).toStrictEqual([2, 2, 2, 4]);
  });

  it("has no verdict on a division by zero", async () => {
    const text = "cornerLow / (cornerHigh - cornerLow) <= 2";
    expect(await judged(text, value(3), value(3))).toBeUndefined();
  });
});

describe("the uncertainty of a comparison", () => {
  it("adds independent figures in quadrature (JCGM 100, 5.1.2)", async () => {
    const one = await judged("gain - siblings(gain) <= 1 dB", value(0, 0.3), value(0, 0.4));
    expect(one?.uncertainty).toBeCloseTo(0.5, 12);
  });

  it("counts a figure once, however often it is named", async () => {
    const one = await judged("gain + gain - 2 * gain <= 1 dB", value(3, 0.5));
    expect(one?.uncertainty).toBe(0);
    const double = await judged("gain + gain <= 1 dB", value(3, 0.5));
    expect(double?.uncertainty).toBeCloseTo(1, 12);
  });

  it("is not folded away by abs", async () => {
    const one = await judged("abs(gain) <= 0.1 dB", value(0, 0.3));
    expect(one).toMatchObject({ verdict: "undecided", uncertainty: 0.3 });
  });

  it("leaves out between siblings what the round shares, and keeps it against a number", async () => {
    const shared = { common: 0.5 };
    const [own, siblings] = [value(2, 0.1, shared), value(0, 0, shared)];
    const against = await judged("gain - siblings(gain) <= 1 dB", own, siblings);
    expect(against?.uncertainty).toBeCloseTo(0.1, 12);
    const alone = await judged("gain - siblings(gain) <= 1 dB", value(2, 0.1), siblings);
    expect(alone?.uncertainty).toBeCloseTo(Math.hypot(0.1, 0.5), 12);
    const absolute = await judged("gain <= 1 dB", own);
    expect(absolute?.uncertainty).toBeCloseTo(Math.hypot(0.1, 0.5), 12);
    const baseline = value(0, 0, { common: 0.5, source: "baseline gain" });
    const drift = await judged("gain - baseline(gain) <= 1 dB", own, baseline);
    expect(drift?.uncertainty).toBeCloseTo(Math.hypot(0.1, 0.5, 0.5), 12);
  });
});

describe("a figure that is only an upper bound", () => {
  const bound = (number: number) => value(number, 6, { bound: "upper", limitedBy: "noise" });

  it("passes below its limit, since the truth lies lower still", async () => {
    expect(await verdictOf("thd <= -80 dB", bound(-90))).toBe("pass");
  });

  it("decides nothing above it, and says that noise set it", async () => {
    expect(await judged("thd <= -80 dB", bound(-70))).toMatchObject({
      verdict: "undecided",
      limitedBy: "noise",
    });
  });

  it("says nothing about noise where it decides all the same", async () => {
    expect(await judged("thd <= -80 dB", bound(-90))).not.toHaveProperty("limitedBy");
  });

  it("fails where the truth would have to lie higher", async () => {
    expect(await verdictOf("thd >= -80 dB", bound(-90))).toBe("fail");
    expect(await verdictOf("thd >= -80 dB", bound(-70))).toBe("undecided");
  });

  it("decides nothing about a difference that might be either side", async () => {
    const text = "abs(thd - siblings(thd)) <= 6 dB";
    expect(await verdictOf(text, bound(-90), value(-92))).toBe("undecided");
    expect(await verdictOf(text, bound(-70), value(-92))).toBe("undecided");
    expect(await verdictOf(text, bound(-100), value(-92))).toBe("fail");
  });

  it("of a frequency is tried in multiples", async () => {
    const above = value(20_000, 10, { unit: "Hz", bound: "lower", limitedBy: "interface" });
    expect(await verdictOf("cornerHigh >= 18 kHz", above)).toBe("pass");
    expect(await verdictOf("cornerHigh >= 25 kHz", above)).toBe("undecided");
  });
});

describe("a bound of a figure that is compared by ratio", () => {
  // A corner known to lie at 2 Hz or below may be anywhere down to nothing, and the other way round.
  const corner = (bound: "upper" | "lower") => value(2, 0, { unit: "Hz", bound });

  it("settles what lies on its own side, and leaves the other open", async () => {
    expect(await verdictOf("cornerLow <= 3 Hz", corner("upper"))).toBe("pass");
    expect(await verdictOf("cornerLow >= 1 Hz", corner("lower"))).toBe("pass");
    expect(await verdictOf("cornerLow >= 1 Hz", corner("upper"))).toBe("undecided");
    expect(await verdictOf("cornerLow <= 3 Hz", corner("lower"))).toBe("undecided");
    expect(await verdictOf("cornerLow >= 3 Hz", corner("upper"))).toBe("fail");
    expect(await verdictOf("cornerLow <= 1 Hz", corner("lower"))).toBe("fail");
  });
});

/** A comparison of plain functions of its figures. */
const comparison = (
  relation: Comparison["relation"],
  bound: number,
  parts: Partial<Comparison> = {},
): Comparison => ({
  relation,
  unit: "dB",
  quantity: "gain",
  judged: { code: "figure", name: "gain" } as never,
  value: ([first]) => first,
  bound: () => bound,
  rates: [1],
  ...parts,
});
const columns = (values: readonly number[], doubts: readonly number[] = []) =>
  [
    { values: Float64Array.from(values), doubts: values.map((_, k) => doubts[k] ?? 0) },
  ] as unknown as Parameters<typeof listSlacks>[1];

describe("the nearest point of a curve to a limit", () => {
  const nearestOf = (limits: readonly Comparison[], values: readonly number[]) =>
    findNearestPoint(listSlacks(limits, columns(values)));

  it.each<[readonly number[], number]>([
    [[5, 1, 3], 0],
    [[1, 5, 3], 1],
    [[1, 3, 5], 2],
    [[1, 9, 7], 1],
    // Of equals the first, and of one that one
    [[2, 5, 5], 1],
    [[2], 0],
    // A point that has no value is near to nothing.
    [[Number.NaN, 1, 2], 2],
  ])("of %j under 6 is number %d", (values, nearest) => {
    expect(nearestOf([comparison("<=", 6)], values)).toBe(nearest);
  });

  it("is that of the nearest of several limits", () => {
    const both = [comparison(">=", -6), comparison("<=", 6)];
    expect(nearestOf(both, [1, -5.5, 5])).toBe(1);
    expect(nearestOf(both, [1, -5, 5.5])).toBe(2);
    expect(nearestOf([...both].reverse(), [1, -5.5, 5])).toBe(1);
  });
});

describe("the next point that might not pass", () => {
  const earlier = (verdict: ComparisonResult["verdict"], slack: number) =>
    ({ verdict, slack }) as ComparisonResult;
  const next = (
    values: readonly number[],
    worst: ComparisonResult,
    doubts: readonly number[] = [],
    limits = [comparison("<=", 1)],
  ) => {
    const own = columns(values, doubts);
    return findDoubtfulPoint(limits, own, listSlacks(limits, own), 0, worst);
  };

  it("is one that is nearer to the limit than where it was judged before", () => {
    expect(next([0, 0.5, 0.75], earlier("pass", 0.5))).toBe(2);
    expect(next([0, 0.25, 0.75], earlier("pass", 0.25))).toBe(3);
    // Where it did not pass before, what passes cannot be worse.
    for (const verdict of ["fail", "undecided"] as const) {
      expect(next([0.75, 0.75, 2], earlier(verdict, 0.5))).toBe(2);
    }
  });

  it("is one that is at its limit, or within its doubt of it", () => {
    expect(next([0, 1], earlier("pass", 0))).toBe(1);
    expect(next([0.75, 0.75], earlier("pass", 0), [0.25, 0.26])).toBe(1);
    expect(next([0.75, 0.75], earlier("pass", 0), [0.25, 0.25])).toBe(2);
  });

  it("is the first of any of the limits, or the very next where it depends on the figures", () => {
    const both = [comparison("<=", 1), comparison(">=", -1)];
    expect(next([0, -2, 0, 2], earlier("pass", 0), [], both)).toBe(1);
    expect(next([0, 2, 0, -2], earlier("pass", 0), [], both)).toBe(1);
    const { rates: _, ...bent } = comparison("<=", 1);
    expect(next([0, 0], earlier("pass", 0), [], [bent])).toBe(0);
  });
});

describe("each relation", () => {
  it.each<[Comparison["relation"], readonly string[]]>([
    ["<", ["pass", "fail", "fail"]],
    ["<=", ["pass", "pass", "fail"]],
    [">", ["fail", "fail", "pass"]],
    [">=", ["fail", "pass", "pass"]],
    ["==", ["fail", "pass", "fail"]],
  ])("%s 1 of 0, 1 and 2 that are certain", (relation, expected) => {
    const found = [0, 1, 2].map((one) => evaluateComparison(comparison(relation, 1), [value(one)]));
    expect(found.map((one) => one?.verdict)).toStrictEqual(expected);
    const slack = relation.startsWith(">") ? [-1, 0, 1] : [1, 0, -1];
    expect(found.map((one) => one?.slack)).toStrictEqual(relation === "==" ? [-1, 0, -1] : slack);
  });
});

describe("a doubt that moves several figures", () => {
  const sum = comparison("<=", 9, { value: ([a, b]) => a + b });
  const common = { common: 0.5 };

  it("is counted once, for all of them together", () => {
    // They move as one: 0.5 + 0.5.
    const found = evaluateComparison(sum, [value(1, 0, common), value(2, 0, common)]);
    expect(found?.uncertainty).toBeCloseTo(1, 12);
    const apart = [value(1, 0, common), value(2, 0, { ...common, source: "baseline gain" })];
    expect(evaluateComparison(sum, apart)?.uncertainty).toBeCloseTo(Math.hypot(0.5, 0.5), 12);
  });

  it("is the larger of both directions, beside the kink of abs", () => {
    const abs = comparison("<=", 9, { value: ([a]) => Math.abs(a) });
    // 0.1 ± 0.3: 0.4 one way, which is 0.3 more; 0.2 the other way, which is 0.1 more.
    for (const middle of [0.1, -0.1]) {
      expect(evaluateComparison(abs, [value(middle, 0.3)])?.uncertainty).toBeCloseTo(0.3, 12);
    }
  });
});

describe("figures of which some are bounds", () => {
  const upper = { bound: "upper" } as const;

  it("in decibels may lie any number of these beyond them", async () => {
    const lower = value(-70, 0, { bound: "lower" });
    expect(await verdictOf("thd >= -80 dB", lower)).toBe("pass");
    expect(await verdictOf("thd <= -60 dB", lower)).toBe("undecided");
    expect(await verdictOf("thd <= -80 dB", lower)).toBe("fail");
  });

  it("leave the others as they were measured", () => {
    const second = comparison("<=", 0, { value: ([, b]) => b });
    expect(evaluateComparison(second, [value(0, 0, upper), value(-1)])?.verdict).toBe("pass");
  });

  it("name what sets the first of them that has a name for it", () => {
    const sum = comparison("<=", 0, { value: ([a, b]) => a + b });
    const named = (...values: readonly OperandValue[]) =>
      evaluateComparison(sum, values)?.limitedBy;
    const noise = { limitedBy: "noise" } as const;
    const clips = value(5, 0, { ...upper, limitedBy: "interface" });
    expect(named(value(5, 0, upper), clips)).toBe("interface");
    expect(named(value(5, 0, noise), clips)).toBe("interface");
    expect(named(value(5, 0, { ...upper, ...noise }), clips)).toBe("noise");
    expect(named(value(5, 0, noise), value(5, 0, upper))).toBeUndefined();
  });
});
