import { describe, expect, it } from "vitest";
import { computeTrends } from "../../../src/history/trend/trends.js";
import type { TrendLimit } from "../../../src/history/trend/types.js";
import { reading } from "../../helpers/families.js";
import { family, round } from "../rounds-of.js";

// Expected: least squares by hand. Rounds lie whole years of 365.25 days apart, five of them with the
// last one now; what scatters is [1, −2, 0, 2, −1] times a size, which has no mean and no slope:
// Σ(x − x̄)² is 10, the residual sum of squares 10 times the size squared, of three degrees of freedom.

const off = [1, -2, 0, 2, -1];
const now = Date.parse("2040-04-02T09:00:00Z");
const dayOf = (years: number) => new Date(now + years * 365.25 * 86_400_000).toISOString();

/** Five rounds; the reading of path k, by the years to the last round and what scatters there. */
function rounds(
  count: number,
  id: string,
  value: (k: number, years: number, scatter: number) => number | undefined,
  unit = "dB",
) {
  return off.map((scatter, i) =>
    round(
      "2040-04-02",
      family(count, (k) => {
        const own = value(k, i - 4, scatter);
        return { readings: own === undefined ? {} : { [id]: reading(own, unit) } };
      }),
      { id: `round ${i}`, date: dayOf(i - 4) },
    ),
  );
}
const upper = (value: number): TrendLimit => ({ name: `below ${value}`, value, side: "upper" });
const lower = (value: number): TrendLimit => ({ name: `above ${value}`, value, side: "lower" });
const none = () => [];

describe("the line of one path", () => {
  /** 20 dB a year, a whole number at every round: the line stands at 0 dB now. */
  const steep = rounds(1, "thd100", (_, years, scatter) => 20 * years + scatter);
  const at = (...limits: readonly TrendLimit[]) => computeTrends(steep, () => limits).paths[0];

  it("has its slope within Student's 3.18 standard errors", () => {
    expect(at()).toMatchObject({ value: 0, perYear: 20, rounds: 5, course: "worse" });
    // s² = 10/3, s/√10.
    expect(at().uncertainty).toBeCloseTo(3.18245 * Math.sqrt(1 / 3), 4);
    expect(at()).toMatchObject({ significant: true, jumps: [], leftOut: [] });
  });

  it("comes to a limit that it stands at in this very moment, and is not beyond it", () => {
    const { crossing, beyond } = at(upper(0));
    expect(beyond).toBeUndefined();
    expect(crossing).toEqual({
      limit: upper(0),
      years: 0,
      from: 0,
      until: expect.closeTo(0.3, 0),
      date: "2040-04-02",
      fromDate: "2040-04-02",
      untilDate: expect.stringMatching(/^2040-0\d-\d\d$/),
    });
    expect(at(upper(-1))).toMatchObject({ beyond: upper(-1) });
    // On the other side it comes from where it may be.
    expect(at(lower(0))).not.toHaveProperty("beyond");
    expect(at(lower(1))).toMatchObject({ beyond: lower(1) });
  });

  it("comes to one in thirty years, and to none further off", () => {
    const { crossing } = at(upper(600));
    expect(crossing?.years).toBe(30);
    expect(crossing?.date).toBe(dayOf(30).slice(0, 10));
    expect(crossing?.untilDate).toBe(dayOf(crossing?.until ?? 0).slice(0, 10));
    expect(crossing?.fromDate).toBe(dayOf(crossing?.from ?? 0).slice(0, 10));
    expect(at(upper(600.5))).not.toHaveProperty("crossing");
  });

  it("comes to none of which it goes the other way", () => {
    expect(at(lower(-600))).not.toHaveProperty("crossing");
    expect(at(lower(-600), upper(600)).crossing?.limit).toEqual(upper(600));
  });

  it("that stands still without any scatter is nothing significant", () => {
    const still = rounds(1, "thd100", () => -90);
    expect(computeTrends(still, () => [upper(-80)]).paths[0]).toMatchObject({
      value: -90,
      perYear: 0,
      uncertainty: 0,
      significance: 0,
      significant: false,
      course: "neither",
    });
  });

  it("is none of two rounds that have the reading, and one of three", () => {
    const of = (fewest: number) =>
      computeTrends(
        rounds(1, "thd100", (_, years, scatter) => (years > -fewest ? scatter : undefined)),
        none,
      ).paths.length;
    expect(of(2)).toBe(0);
    expect(of(3)).toBe(1);
  });
});

describe("the line of a corner", () => {
  /** Loses a share of itself a year, from 40 kHz, with a thousandth of scatter. */
  const losing = (share: number, size = 0.001) =>
    computeTrends(
      rounds(
        1,
        "cornerHigh",
        (_, years, scatter) => 40_000 * Math.exp(-share * years + size * scatter),
        "Hz",
      ),
      none,
    ).paths[0];

  it("has a slope and its uncertainty as shares of its value", () => {
    const { value, perYear, uncertainty } = losing(0.05);
    expect(value).toBeCloseTo(40_000, 3);
    expect(perYear).toBeCloseTo(-2000, 3);
    expect(uncertainty).toBeCloseTo(40_000 * 3.18245 * 0.001 * Math.sqrt(1 / 3), 1);
  });

  it("is slight below a tenth of what is of no concern, 15 % of it", () => {
    expect(losing(0.0149)).toMatchObject({ significant: true, slight: true });
    expect(losing(0.0151)).toMatchObject({ significant: true });
    expect(losing(0.0151)).not.toHaveProperty("slight");
  });

  it("jumps by more than what is of no concern, on its own scale", () => {
    // 15 % more at once.
    const jumpsOf = (factor: number) =>
      computeTrends(
        rounds(1, "cornerHigh", (_, years) => 40_000 * (years >= -1 ? factor : 1), "Hz"),
        none,
      ).paths[0].jumps;
    expect(jumpsOf(1.14)).toEqual([]);
    expect(jumpsOf(1.16)).toEqual([{ round: "round 3", change: expect.closeTo(0.16 * 40_000, 3) }]);
  });
});

describe("the line of a family", () => {
  it("is the median of its paths' slopes, within 4.3 standard errors of three paths' worth", () => {
    const [found] = computeTrends(
      rounds(4, "thd100", (k, years, scatter) =>
        k === 2 && years === -4 ? undefined : -80 + 0.1 * (k + 1) * years + 0.001 * scatter,
      ),
      none,
    ).families;
    expect(found).toMatchObject({ family: "mic", paths: 4, rounds: 5, unit: "dB" });
    expect(found.value).toBeCloseTo(-80, 1);
    expect(found.perYear).toBeCloseTo(0.25, 1);
    // Qn of four: 2.2219 · 0.512 times the third smallest of their differences (C. Croux, P. J.
    // Rousseeuw, 1992), a tenth here; the error of a median is √(π/2) that of a mean.
    const error = (Math.sqrt(Math.PI / 2) * 2.2219 * 0.512 * 0.1) / Math.sqrt(3);
    expect(found.uncertainty / (4.30265 * error)).toBeCloseTo(1, 1);
    // 3 standard errors are no more than chance.
    expect(found.significant).toBe(false);
    expect(found).not.toHaveProperty("slight");
  });

  it("that stands still is nothing significant", () => {
    const [found] = computeTrends(
      rounds(4, "thd100", () => -90),
      none,
    ).families;
    expect(found).toMatchObject({ value: -90, perYear: 0, significance: 0, significant: false });
  });

  // Five paths that lie close together and four that go faster, by five times what one path's slope is
  // known to: those are a crowd of their own. Were a slope four times as uncertain, they were one.
  const slopes = [0.5, 0.501, 0.502, 0.503, 0.504, 0.57, 0.571, 0.572, 0.573];

  it("is that of the crowd, as far as one path's slope can be told from another's", () => {
    const [found] = computeTrends(
      rounds(9, "thd100", (k, years, scatter) => -80 + slopes[k] * years + 0.01 * scatter),
      none,
    ).families;
    expect(found.perYear).toBeCloseTo(0.502, 5);
  });

  it("is that of the crowd where slopes are shares, too", () => {
    const [found] = computeTrends(
      rounds(
        9,
        "cornerHigh",
        (k, years, scatter) => 40_000 * Math.exp(-0.1 * slopes[k] * years + 0.001 * scatter),
        "Hz",
      ),
      none,
    ).families;
    expect(found.perYear).toBeCloseTo(-0.0502 * 40_000, 1);
    expect(found).toMatchObject({ course: "worse" });
    // Of five paths two are worth something, Qn of them is 2.2219 · 0.844 times the third smallest
    // difference, 0.0001.
    const error = (Math.sqrt(Math.PI / 2) * 2.2219 * 0.844 * 0.0001) / Math.sqrt(2);
    expect(found.uncertainty / (12.7062 * error * 40_000)).toBeCloseTo(1, 2);
  });
});

describe("steps of one path", () => {
  // Eleven rounds, with a step in the fourth, the seventh and the tenth.
  const stepping = (id: string, from: number, step: number) =>
    Array.from({ length: 11 }, (_, i) =>
      round(
        "2040-04-02",
        family(6, (k) => ({
          readings: {
            [id]: reading(
              from + (k === 0 ? step * Math.floor(i / 3) : 0) + 0.02 * Math.sin(5 * k + 7 * i),
            ),
          },
        })),
        { id: `round ${i}`, date: dayOf(i - 10) },
      ),
    );

  it("lead down where less is worse", () => {
    const rooms = stepping("headroom", 20, -4);
    const [found] = computeTrends(rooms, () => [lower(5), upper(30)]).paths;
    expect(found.steps).toEqual({
      count: 3,
      change: expect.closeTo(-4, 1),
      perYear: expect.closeTo(0.3, 6),
    });
    // From 8 dB to below 5 dB by the next: of three in ten years it is as likely before as after
    // 10 (2^(1/3) − 1) years.
    expect(found.crossing?.limit).toEqual(lower(5));
    expect(found.crossing?.years).toBeCloseTo(10 * (2 ** (1 / 3) - 1), 2);
    expect(computeTrends(stepping("headroom", 8, 4), none).paths[0]).not.toHaveProperty("steps");
  });

  it("come to no further limit where one lies behind already", () => {
    const [found] = computeTrends(stepping("thd100", -90, 6), () => [upper(-80), upper(-70)]).paths;
    expect(found.beyond).toEqual(upper(-80));
    expect(found.steps?.count).toBe(3);
    expect(found).not.toHaveProperty("crossing");
  });
});
