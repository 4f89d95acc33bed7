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
