import { describe, expect, it } from "vitest";
import { median } from "../../../src/dsp/robust.js";
import {
  computeDryingCrossing,
  type DryingLaw,
  fitDrying,
  weighLaws,
} from "../../../src/history/trend/drying.js";
import { computeTrends } from "../../../src/history/trend/trends.js";
import type { TrendLimit } from "../../../src/history/trend/types.js";
import type { Round } from "../../../src/history/types.js";
import { createRng, gaussian, uniform } from "../../../src/simulate/rng.js";
import { reading } from "../../helpers/families.js";
import { slow } from "../../helpers/slow.js";
import { family, round } from "../rounds-of.js";

// Expected: corners of strips made of capacitors in a row, worked out from the −3 dB point of all of
// them, where the model puts the others together as one; and the year in which the true course comes to 20 Hz.

/** Where first-order high-passes in a row have fallen by 3.01 dB, hertz. */
function cornerOf(corners: readonly number[]): number {
  const fallen = (hz: number) =>
    corners.reduce((sum, fc) => sum + 10 * Math.log10(1 + (fc / hz) ** 2), 0);
  let [low, high] = [0.01, 1000];
  for (let k = 0; k < 60; k++) {
    const middle = Math.sqrt(low * high);
    if (fallen(middle) > 10 * Math.log10(2)) low = middle;
    else high = middle;
  }
  return low;
}

const band: TrendLimit = { name: "band", value: 20, side: "upper" };

/** Rounds in April of some years; a path's corner by its number and the year. */
function roundsOf(
  years: readonly number[],
  count: number,
  hz: (k: number, year: number) => number,
) {
  return years.map(
    (year): Round =>
      round(
        `${year}-04-02`,
        family(count, (k) => ({ readings: { cornerLow: reading(hz(k, year), "Hz") } })),
      ),
  );
}

const seven = [2030, 2031, 2032, 2033, 2034, 2035, 2036];

describe("a capacitor that dries in a row of others", () => {
  // Shares of itself that it loses a year.
  it.each([0.3, 0.45, 0.55])(
    "at %f a year is no exchanged part, and comes when it comes",
    (loss) => {
      const rng = createRng(`seven ${loss}`);
      const own = (year: number) => 1.5 / (1 - loss) ** Math.max(0, year - 2031);
      const hz = (k: number, year: number) =>
        cornerOf([2.2, 1.1, k === 8 ? own(year) : 1.5]) * (1 + 0.004 * gaussian(rng));
      const { paths } = computeTrends(roundsOf(seven, 10, hz), () => [band]);
      const nine = paths[8];
      expect(nine.jumps).toEqual([]);
      let due = 2036;
      while (cornerOf([2.2, 1.1, own(due)]) < 20) due += 0.01;
      if (due <= 2036) return;
      expect(nine.crossing?.from).toBeLessThanOrEqual(due - 2036);
      expect(nine.crossing?.until).toBeGreaterThanOrEqual(due - 2036);
      expect(Math.abs((nine.crossing?.years ?? 99) - (due - 2036))).toBeLessThan(
        0.3 * (due - 2036) + 0.3,
      );
    },
  );

  it("holds the true yearly change in its ±, whichever course is taken for the likeliest", () => {
    // Expected: the difference quotient of the corner of three in a row, each with its own loss a year.
    const rng = createRng("change");
    const rates = Array.from({ length: 20 }, () => 0.15 + 0.3 * uniform(rng));
    const row = (k: number, year: number) =>
      cornerOf([2.2, 1.1, 1.5 * Math.exp((rates[k] ?? 0) * (year - 2030))]);
    const hz = (k: number, year: number) => row(k, year) * (1 + 0.004 * gaussian(rng));
    const { paths } = computeTrends(roundsOf(seven, 50, hz), () => [band]);
    const held = rates.filter((_, k) => {
      const change = (row(k, 2036) - row(k, 2036 - 0.01)) / 0.01;
      return Math.abs(paths[k].perYear - change) <= paths[k].uncertainty;
    });
    expect(held.length).toBeGreaterThanOrEqual(18);
    // And says something all the same.
    const shares = paths.slice(0, 20).map(({ perYear, uncertainty }) => uncertainty / perYear);
    expect(median(shares)).toBeLessThan(0.3);
  });

  it("comes to 20 Hz when two corners in cascade do", () => {
    // Own and others alike at first: the root of the sum of squares would be 9 % off there.
    const own = (years: number) => 2 * Math.exp(0.3 * years);
    const points = [0, 1, 2, 3, 4, 5].map((k) => ({
      years: k - 5,
      y: Math.log(cornerOf([2, own(k)])),
      epoch: 0,
      round: k,
    }));
    const laws = fitDrying(points, points[0].y);
    const weights = weighLaws(laws, 0.0001);
    const scatter = { deviation: 0.0001, freedom: 10 };
    const crossing = computeDryingCrossing(laws, weights, scatter, Math.log(20));
    let due = 5;
    while (cornerOf([2, own(due)]) < 20) due += 0.001;
    expect(crossing?.years).toBeCloseTo(due - 5, 1);
  });

  it("leaves a date open where too few rounds show the new part's course", () => {
    // Loses a third a year; new in the last round but one, in which it fell back.
    const rng = createRng("new");
    const own = (year: number) => 1.6 * Math.exp(0.38 * (year - (year < 2035 ? 2030 : 2035)));
    const hz = (k: number, year: number) =>
      cornerOf([0.6, 1.3, k === 3 ? own(year) : 1.6]) * (1 + 0.004 * gaussian(rng));
    const { crossing } = computeTrends(roundsOf(seven, 12, hz), () => [band]).paths[3];
    expect(crossing).toMatchObject({ open: true });
    expect(crossing?.until).toBeGreaterThanOrEqual(30);
  });

  it("jumps where it was exchanged, and where it fails from one round to the next", () => {
    const rng = createRng("exchanged");
    const hz = (k: number, year: number) => {
      const dried = 1.5 / 0.55 ** (year - 2030);
      const renewed = year >= 2035 ? 1.5 : dried;
      const failed = year >= 2034 ? 14 : 1.5;
      const own = k === 3 ? renewed : k === 5 ? failed : 1.5;
      return cornerOf([2.2, 1.1, own]) * (1 + 0.004 * gaussian(rng));
    };
    const { paths } = computeTrends(roundsOf(seven, 10, hz), () => []);
    const jumps = paths.map((path) => path.jumps.map((jump) => jump.round.slice(0, 4)));
    expect(jumps[3]).toEqual(["2035"]);
    expect(jumps[5]).toEqual(["2034"]);
    expect(jumps.flat()).toHaveLength(2);
  });

  it("follows a recapped strip's bent course by what it does since, and not by a line", () => {
    // Loses a third a year; new in 2033.
    const own = (year: number) => 1.6 / Math.exp(-0.38 * (year - (year < 2033 ? 2030 : 2033)));
    const course = (year: number) => cornerOf([0.6, 1.3, own(year)]);
    let due = 2036;
    while (course(due) < 20) due += 0.01;
    const draws = [1, 2, 3, 4, 5, 6, 7, 8, 9].map((draw) => {
      const rng = createRng(`recapped ${draw}`);
      const hz = (k: number, year: number) =>
        (k === 3 ? course(year) : cornerOf([0.6, 1.3, 1.6])) * (1 + 0.004 * gaussian(rng));
      const { jumps, crossing } = computeTrends(roundsOf(seven, 12, hz), () => [band]).paths[3];
      expect(jumps.map(({ round: id }) => id.slice(0, 4))).toEqual(["2033"]);
      const { years = 99, from = 99, until = 0 } = crossing ?? {};
      return {
        off: Math.abs(years - (due - 2036)),
        held: from <= due - 2036 && until >= due - 2036,
      };
    });
    expect(draws.every(({ held }) => held)).toBe(true);
    expect(median(draws.map(({ off }) => off))).toBeLessThan(0.5);
  });

  it("keeps its promise of a date on courses that are not its own", slow, () => {
    // Parts that the model does not know: the loss quickens or flags, begins late or goes in steps;
    // years are left out.
    const rng = createRng("courses");
    const courses: readonly ((years: number, rate: number) => number)[] = [
      (t, rate) => Math.exp(-rate * t),
      (t, rate) => 1 / (1 + rate * t),
      (t, rate) => Math.exp((-rate * Math.floor(2 * t)) / 2),
      (t, rate) => Math.exp(-rate * Math.max(0, t - 1)),
      // The same is lost each year, until next to nothing is left.
      (t, rate) => Math.max(0.01, 1 - 0.45 * rate * t),
    ];
    let within = 0;
    let all = 0;
    for (let run = 0; run < 60; run++) {
      const years = seven.filter((_, k) => k > 4 || uniform(rng) < 0.8);
      const laws = Array.from({ length: 12 }, () => ({
        alone: 1 + 1.5 * uniform(rng),
        rest: [2.5 * uniform(rng), 1.5 * uniform(rng)],
        rate: 0.15 + 0.3 * uniform(rng),
        course: courses[run % courses.length],
        dries: uniform(rng) < 0.3,
      }));
      const own = (k: number, year: number) => {
        const { alone, rest, rate, course, dries } = laws[k];
        return cornerOf([...rest, dries ? alone / course(year - 2030, rate) : alone]);
      };
      const rounds = roundsOf(years, 12, (k, year) => own(k, year) * (1 + 0.004 * gaussian(rng)));
      for (const [k, { crossing }] of computeTrends(rounds, () => [band]).paths.entries()) {
        if (crossing === undefined || !laws[k].dries) continue;
        let due = 2036;
        while (own(k, due) < 20 && due < 2070) due += 0.05;
        all++;
        if (crossing.from <= due - 2036 + 0.1 && crossing.until >= due - 2036 - 0.1) within++;
      }
    }
    expect(all).toBeGreaterThan(60);
    expect(within / all).toBeGreaterThan(0.9);
  });
});

describe("laws of drying", () => {
  const law = (sound: number, squares: number): DryingLaw =>
    ({ sound, squares, weightOfShare: 1, line: { freedom: 4 }, course: { cost: 0 } }) as DryingLaw;

  it("are weighed alike where they fit alike, less a nat for one that began later", () => {
    const [always, later] = weighLaws([law(0, 1), law(2, 1)], 1);
    expect(always / later).toBeCloseTo(Math.E, 9);
    expect(always + later).toBeCloseTo(1, 12);
    const [one, other] = weighLaws([law(0, 1), law(0, 1)], 1);
    expect(one).toBeCloseTo(other, 12);
  });

  it("lose half a square of deviations each, as normal errors have it", () => {
    // exp(−(3 − 1)/2)
    const [near, far] = weighLaws([law(0, 1), law(0, 3)], 1);
    expect(near / far).toBeCloseTo(Math.E, 9);
  });
});
