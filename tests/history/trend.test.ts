import { describe, expect, it } from "vitest";
import { getStudent95 } from "../../src/dsp/student.js";
import { computeTrends } from "../../src/history/trend/trends.js";
import type { PathTrend, TrendLimit } from "../../src/history/trend/types.js";
import type { Round } from "../../src/history/types.js";
import { createRng, gaussian } from "../../src/simulate/rng.js";
import { reading } from "../helpers/families.js";
import { slow } from "../helpers/slow.js";
import { family, round } from "./rounds-of.js";

const noLimit = () => [];

/** Springs of a family's reading, each path by its own law. */
function springs(
  years: readonly number[],
  count: number,
  id: string,
  value: (k: number, year: number) => number,
  unit = "dB",
): readonly Round[] {
  return years.map((year) =>
    round(
      `${year}-04-02`,
      family(count, (k) => ({ readings: { [id]: reading(value(k, year), unit) } })),
    ),
  );
}

function of(paths: readonly PathTrend[], name: string, id: string): PathTrend {
  const found = paths.find(({ path, reading: one }) => path === name && one === id);
  if (found === undefined) throw new Error(`no trend of ${id} on ${name}`);
  return found;
}

const decade = Array.from({ length: 11 }, (_, k) => 2030 + k);

describe("how many standard errors hold 95 %", () => {
  it.each([
    // scipy.stats.t.ppf(0.975, ν)
    [1, 12.7062],
    [2, 4.30265],
    [3, 3.18245],
    [4, 2.77645],
    [5, 2.57058],
    [8, 2.306],
    [30, 2.04227],
  ])("of %d degrees of freedom", (freedom, quantile) => {
    expect(Math.abs(getStudent95(freedom) / quantile - 1)).toBeLessThan(0.002);
  });
});

describe("a trend", () => {
  it("keeps its promise: the true slope lies within ± in 95 of 100 paths", () => {
    const rng = createRng("slopes");
    let within = 0;
    let all = 0;
    for (const years of [decade, [2030, 2031, 2035], [2030, 2033, 2034, 2036, 2040]]) {
      for (let run = 0; run < 40; run++) {
        const rounds = springs(
          years,
          12,
          "thd100",
          (k, year) => -90 + 0.05 * k * (year - 2030) + 0.4 * gaussian(rng),
        );
        for (const [k, { perYear, uncertainty }] of computeTrends(
          rounds,
          noLimit,
        ).paths.entries()) {
          all++;
          // Springs lie 365 or 366 days apart; a year has 365.25.
          if (Math.abs(perYear - 0.05 * k) <= uncertainty + 1e-4) within++;
        }
      }
    }
    // 1440 paths: two standard deviations of counting are 1.1 %.
    expect(within / all).toBeGreaterThan(0.93);
    expect(within / all).toBeLessThan(0.98);
  });

  it("is a family's too where most of its paths go the same way", () => {
    // 0.5 dB a year on all twelve, and one that does not move; −85 and some after ten years.
    const rounds = springs(decade, 12, "thd100", (k, year) =>
      k === 3 ? -90 : -90 + 0.05 * k + 0.5 * (year - 2030) + 0.02 * ((k * 7 + year) % 5),
    );
    const [family, ...more] = computeTrends(rounds, noLimit).families;
    expect(more).toEqual([]);
    expect(family).toMatchObject({
      family: "mic",
      reading: "thd100",
      paths: 12,
      rounds: 11,
      significant: true,
      course: "worse",
    });
    expect(family.perYear).toBeCloseTo(0.5, 2);
    expect(Math.abs(family.value + 84.7)).toBeLessThan(0.2);
    // Two siblings are no crowd.
    expect(
      computeTrends(
        springs(decade, 2, "thd100", (_, y) => y),
        noLimit,
      ).families,
    ).toEqual([]);
  });

  it("keeps its promise of a date: the true crossing lies within in 95 of 100 paths", slow, () => {
    const rng = createRng("crossings");
    const limit: TrendLimit = { name: "clean", value: -80, side: "upper" };
    let within = 0;
    let all = 0;
    for (let run = 0; run < 60; run++) {
      const rounds = springs(
        decade,
        12,
        "thd100",
        (_, year) => -90 + 0.5 * (year - 2030) + 0.4 * gaussian(rng),
      );
      for (const { crossing } of computeTrends(rounds, () => [limit]).paths) {
        if (crossing === undefined) continue;
        all++;
        // −80 dB is reached after twenty years, ten after the last round.
        if (crossing.from <= 10.01 && crossing.until >= 9.99) within++;
      }
    }
    expect(all).toBeGreaterThan(700);
    expect(within / all).toBeGreaterThan(0.93);
    expect(within / all).toBeLessThan(0.98);
  });

  it("is not certain on a desk that does not age", slow, () => {
    const rng = createRng("still");
    let certain = 0;
    for (let run = 0; run < 40; run++) {
      const rounds = springs([2030, 2031, 2032, 2033], 24, "thd100", () => -90 + gaussian(rng));
      certain += computeTrends(rounds, noLimit).paths.filter(
        ({ significant }) => significant,
      ).length;
    }
    // 960 paths; chance alone makes 0.45 of them.
    expect(certain).toBeLessThanOrEqual(3);
  });

  it("of a corner is a share of itself a year, as a drying capacitor has it", () => {
    // 1/(2πRC) of a capacitance that shrinks by e^−0.1 a year.
    const rounds = springs(
      decade,
      6,
      "cornerLow",
      (k, year) => (3 + k / 10) * Math.exp(0.1 * (year - 2030)),
      "Hz",
    );
    const band: TrendLimit = { name: "band", value: 20, side: "upper" };
    const found = of(computeTrends(rounds, () => [band]).paths, "1/mic", "cornerLow");
    expect(found.value).toBeCloseTo(3 * Math.E, 2);
    expect(found.perYear).toBeCloseTo(0.1 * 3 * Math.E, 2);
    // ln(20/3)/0.1 years after the first round.
    expect(found.crossing?.years).toBeCloseTo(Math.log(20 / 3) / 0.1 - 10, 1);
    expect(found.crossing?.date.slice(0, 4)).toBe("2049");
  });

  it("starts again where a part was exchanged, keeps its slope, and names the round", () => {
    const rng = createRng("repair");
    const law = (k: number, year: number) =>
      (k === 3 && year >= 2036 ? -96 : -90) + 0.3 * (year - 2030) + 0.1 * gaussian(rng);
    const { paths } = computeTrends(springs(decade, 8, "thd100", law), noLimit);
    const mended = of(paths, "4/mic", "thd100");
    expect(mended.jumps.map((jump) => jump.round)).toEqual(["2036-04-02-01"]);
    expect(mended.jumps[0].change).toBeCloseTo(-6, 0);
    expect(mended.perYear).toBeCloseTo(0.3, 1);
    expect(mended.value).toBeCloseTo(-93, 0);
    expect(paths.filter(({ jumps }) => jumps.length > 0)).toHaveLength(1);
  });

  it("leaves a round out that lies off the line on its own", () => {
    const rng = createRng("slip");
    const law = (k: number, year: number) =>
      (k === 1 && year === 2034 ? -70 : -90) + 0.3 * (year - 2030) + 0.1 * gaussian(rng);
    const slipped = of(
      computeTrends(springs(decade, 8, "thd100", law), noLimit).paths,
      "2/mic",
      "thd100",
    );
    expect(slipped.leftOut).toEqual(["2034-04-02-01"]);
    expect(slipped.jumps).toEqual([]);
    expect(slipped.perYear).toBeCloseTo(0.3, 1);
  });

  it("does not take another interface for age", () => {
    const rng = createRng("interface");
    const rounds = decade.map((year) => {
      const turned = year >= 2035 ? -3 : 0;
      return round(
        `${year}-04-02`,
        family(8, () => {
          const gain = turned + 0.1 * gaussian(rng);
          return {
            readings: {
              level: reading(-18 + gain, "dBFS"),
              gain: reading(gain),
              noiseA: reading(-100 + gain + 0.1 * gaussian(rng), "dBFS"),
              thd100: reading((year >= 2035 ? -96 : -90) + 0.1 * gaussian(rng)),
            },
          };
        }),
      );
    });
    const { paths, conditions } = computeTrends(rounds, noLimit);
    expect(conditions).toMatchObject([
      { code: "new-epoch", round: "2035-04-02-01", because: { code: "level-step" } },
    ]);
    expect(paths.filter(({ significant }) => significant)).toEqual([]);
  });

  it("puts strips together that will want the same at about the same time", () => {
    const rounds = springs(
      decade,
      8,
      "cornerLow",
      (k, year) => 3 * Math.exp((k < 4 ? 0.12 : 0.07) * (year - 2030)),
      "Hz",
    );
    const band: TrendLimit = { name: "band", value: 20, side: "upper" };
    const { outlook } = computeTrends(rounds, () => [band]);
    expect(outlook.map(({ strips }) => strips)).toEqual([
      ["1", "2", "3", "4"],
      ["5", "6", "7", "8"],
    ]);
    expect(outlook[0].years).toBeCloseTo(Math.log(20 / 3) / 0.12 - 10, 1);
  });

  it("is not available of two rounds", () => {
    expect(() =>
      computeTrends(
        springs([2030, 2031], 4, "thd100", () => -90),
        noLimit,
      ),
    ).toThrow("A trend needs 3 rounds; there are 2.");
  });
});

describe("a trend that is all but a line", () => {
  // Rounds of eleven Aprils; a reading that goes by `perYear` and scatters by hundredths. Springs lie 365
  // or 366 days apart.
  const jitter = (k: number, year: number) => 0.02 * Math.sin(5 * k + 7 * year);
  const line = (perYear: number, from = -90) =>
    springs(decade, 4, "thd100", (k, year) => from + perYear * (year - 2030) + jitter(k, year));
  const upper = (value: number): TrendLimit => ({ name: `below ${value}`, value, side: "upper" });
  const lower = (value: number): TrendLimit => ({ name: `above ${value}`, value, side: "lower" });
  const first = (rounds: readonly Round[], ...limits: readonly TrendLimit[]) =>
    computeTrends(rounds, (path, id) => (path === "1/mic" && id === "thd100" ? limits : []))
      .paths[0];

  it("has its value now, its slope, and the limit that it comes to first", () => {
    const found = first(line(0.5), upper(-80), upper(-82), lower(-99));
    expect(found).toMatchObject({ reading: "thd100", unit: "dB", rounds: 11, course: "worse" });
    expect(found.value).toBeCloseTo(-85, 1);
    expect(found.perYear).toBeCloseTo(0.5, 2);
    // −82 dB is 3 dB further up, six years.
    expect(found.crossing?.limit.value).toBe(-82);
    expect(found.crossing?.years).toBeCloseTo(6, 0);
    const { date = "", fromDate = "", untilDate = "" } = found.crossing ?? {};
    expect(date.slice(0, 4)).toBe("2046");
    expect(fromDate <= date && date <= untilDate).toBe(true);
    expect(found).not.toHaveProperty("beyond");
    expect(found).not.toHaveProperty("slight");
    expect(found.crossing).not.toHaveProperty("open");
  });

  it("comes to no limit on its other side, further off than 30 years, or of another path", () => {
    // From −85 dB up by 0.5 dB a year: −70.5 dB in 29 years, −69.5 dB in 31.
    expect(first(line(0.5), upper(-70.5)).crossing?.years).toBeCloseTo(29, 0);
    expect(first(line(0.5), upper(-69.5))).not.toHaveProperty("crossing");
    expect(first(line(0.5), lower(-99))).not.toHaveProperty("crossing");
    const [, second] = computeTrends(line(0.5), (path) =>
      path === "1/mic" ? [upper(-82)] : [],
    ).paths;
    expect(second).not.toHaveProperty("crossing");
  });

  it("is beyond a limit that lies behind it, and comes to no other then", () => {
    const found = first(line(0.5), upper(-80), upper(-86));
    expect(found.beyond).toEqual(upper(-86));
    expect(found).not.toHaveProperty("crossing");
    expect(first(line(0.5), lower(-84)).beyond).toEqual(lower(-84));
    expect(first(line(0.5), lower(-86))).not.toHaveProperty("beyond");
    expect(first(line(0.5), upper(-84))).not.toHaveProperty("beyond");
  });

  it("for the better comes to no limit", () => {
    const found = first(line(-0.5), lower(-99), upper(-80));
    expect(found).toMatchObject({ course: "better", significant: true });
    expect(found).not.toHaveProperty("crossing");
  });

  it("is slight where ten years make less of it than anybody need care about", () => {
    // 4 dB of distortion at 100 Hz are of no concern: 0.4 dB a year.
    expect(first(line(0.39))).toMatchObject({ significant: true, slight: true });
    expect(first(line(-0.39))).toMatchObject({ slight: true });
    expect(first(line(0.41))).not.toHaveProperty("slight");
    expect(first(line(0.39), upper(-80))).not.toHaveProperty("slight");
    expect(first(line(0))).toMatchObject({ significant: false });
    expect(first(line(0))).not.toHaveProperty("slight");
  });

  it("is a family's as well, slight or not", () => {
    const families = (perYear: number) => computeTrends(line(perYear), noLimit).families;
    expect(families(0.39)).toMatchObject([{ slight: true, course: "worse", paths: 4, rounds: 11 }]);
    expect(families(-0.41)).toMatchObject([{ course: "better", unit: "dB" }]);
    expect(families(-0.41)[0]).not.toHaveProperty("slight");
  });

  it("of a corner is a share of it, for its family too", () => {
    // Four upper corners about 37.5 kHz that lose a hundredth (e^−0.01) a year.
    const hz = (k: number, year: number) =>
      (36_000 + 1000 * k) * Math.exp(-0.01 * (year - 2030) + 0.05 * jitter(k, year));
    const { families, paths } = computeTrends(springs(decade, 4, "cornerHigh", hz, "Hz"), noLimit);
    const [found] = families;
    expect(found.value / (37_500 * Math.exp(-0.1))).toBeCloseTo(1, 2);
    for (const { perYear, value } of [found, ...paths]) {
      expect(perYear / value).toBeCloseTo(-0.01, 3);
    }
    for (const { significant, course } of [found, ...paths]) {
      expect([significant, course]).toEqual([true, "worse"]);
    }
  });

  it("that falls with age comes to its limit from above", () => {
    // Headroom of 20 dB, half a decibel less each year: 15 dB now, 12 dB in six years.
    const rounds = springs(
      decade,
      4,
      "headroom",
      (k, year) => 20 - 0.5 * (year - 2030) + jitter(k, year),
    );
    const limit = { name: "room", value: 12, side: "lower" } as const;
    const found = of(computeTrends(rounds, () => [limit, upper(30)]).paths, "1/mic", "headroom");
    expect(found.course).toBe("worse");
    expect(found.crossing?.limit).toEqual(limit);
    expect(found.crossing?.years).toBeCloseTo(6, 0);
  });

  it("is not to be had of one round, and says what a second and a third do", () => {
    const hintOf = (years: readonly number[]) => {
      try {
        computeTrends(
          springs(years, 4, "thd100", () => -90),
          noLimit,
        );
      } catch (error) {
        return `${(error as Error).message} ${(error as { hint?: string }).hint}`;
      }
      return "";
    };
    expect(hintOf([2030])).toMatch(/there is 1\. .*analyze/);
    expect(hintOf([])).toMatch(/there are 0\. .*analyze/);
    expect(hintOf([2030, 2031])).toMatch(/there are 2\. .*compare/);
    expect(hintOf([2030, 2031, 2032])).toBe("");
  });
});

describe("a reading that stands still and goes in steps", () => {
  // 6 dB worse in 2033, in 2036 and in 2039, and hundredths between.
  const steps = (worse: 1 | -1) =>
    springs(
      decade,
      6,
      "thd100",
      (k, year) =>
        -90 +
        (k === 0 ? 6 * worse * Math.floor((year - 2030) / 3) : 0) +
        0.02 * Math.sin(5 * k + 7 * year),
    );
  const limit: TrendLimit = { name: "clean", value: -70, side: "upper" };

  it("has steps of 6 dB, three in ten years, and comes to its limit by the next", () => {
    const [found] = computeTrends(steps(1), () => [limit]).paths;
    expect(found.jumps).toHaveLength(3);
    expect(found.significant).toBe(false);
    expect(found.steps?.count).toBe(3);
    expect(found.steps?.change).toBeCloseTo(6, 1);
    expect(found.steps?.perYear).toBeCloseTo(0.3, 2);
    // At −72 dB one more leads beyond −70 dB; of three in ten years half of all waits are shorter than
    // 10 (2^(1/3) − 1) years: the chance of none is (10/(10 + t))³.
    expect(found.crossing?.years).toBeCloseTo(10 * (2 ** (1 / 3) - 1), 1);
    const far = computeTrends(steps(1), () => [{ ...limit, side: "lower", value: -99 }]).paths[0];
    expect(far).not.toHaveProperty("crossing");
    const beyond = computeTrends(steps(1), () => [{ ...limit, value: -80 }]).paths[0];
    expect(beyond.beyond?.value).toBe(-80);
    expect(beyond.steps?.count).toBe(3);
    expect(beyond).not.toHaveProperty("crossing");
  });

  it("has none where they are for the better", () => {
    const [found] = computeTrends(steps(-1), () => [limit]).paths;
    expect(found.jumps).toHaveLength(3);
    expect(found).not.toHaveProperty("steps");
  });
});
