import { describe, expect, it } from "vitest";
import { median } from "../../../src/dsp/robust.js";
import {
  addPace,
  computeDryingCrossing,
  computeDryingHeight,
  computeDryingReach,
  type DryingLaw,
  fitDrying,
  leaveOpen,
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

  const of = (squares: number, parts: { share?: number; cost?: number } = {}): DryingLaw => {
    const { share = 1, cost = 0 } = parts;
    return { ...law(0, squares), weightOfShare: share, course: { cost } } as DryingLaw;
  };

  it("count as often as their share stands for, and less for a rarer course", () => {
    const [twice, once] = weighLaws([of(1, { share: 2 }), of(1)], 1);
    expect(twice / once).toBeCloseTo(2, 9);
    const [usual, rare] = weighLaws([of(1), of(1, { cost: Math.log(5) })], 1);
    expect(usual / rare).toBeCloseTo(5, 9);
  });

  it("are held against what the best leaves, and no less than corners scatter by", () => {
    // 4 of four degrees of freedom: a variance of 1, whatever siblings scatter by.
    const [best, next] = weighLaws([of(4), of(6)], 0.1);
    expect(best / next).toBeCloseTo(Math.E, 9);
    // 0.003 nepers at least: exp(−1e-5/(2 · 9e-6)).
    const [one, other] = weighLaws([of(0), of(1e-5)], 1e-4);
    expect(one / other).toBeCloseTo(Math.exp(1e-5 / 18e-6), 9);
  });
});

describe("a capacitor alone", () => {
  // The others' corner is at nothing: the row's is its own, and rises by so many nepers a year.
  const points = (rate: number, count = 6, from = 0) =>
    Array.from({ length: count }, (_, k) => ({
      years: k + 1 - count,
      y: Math.log(2) + rate * Math.max(0, k - from),
      epoch: 0,
      round: k,
    }));
  const alone = (rate: number, count?: number, from = 0) =>
    fitDrying(points(rate, count, from), Math.log(2)).find(
      ({ share, squares, sound }) => share === 1 && squares < 1e-12 && sound === from,
    );

  it("goes on as it went, by the line that it is", () => {
    const law = alone(0.3);
    if (law === undefined) throw new Error("no law fits");
    expect(law.line.slope).toBeCloseTo(0.3, 9);
    expect(law).toMatchObject({ others: 0, line: { points: 6, freedom: 4 } });
    expect(law.farthest).toBeLessThan(1e-6);
    for (const years of [0, 5]) {
      const { y, slope, part } = computeDryingHeight(law, years);
      expect(y).toBeCloseTo(Math.log(2) + 0.3 * (5 + years), 9);
      expect(slope).toBeCloseTo(0.3, 9);
      expect(part).toBeCloseTo(1, 9);
    }
    // Of one law its own slope: 4 % of it, and Student's 2.776 errors of s/√Σ(x − x̄)², Σ = 17.5.
    const scatter = { deviation: 0.01, freedom: 4 };
    expect(computeDryingReach([law], [1], scatter, 0.3)).toBeCloseTo(
      0.04 * 0.3 + (2.776 * 0.01) / Math.sqrt(17.5),
      4,
    );
    expect(computeDryingReach([law], [1], { ...scatter, deviation: 0 }, 0.2)).toBeCloseTo(
      0.1 + 0.04 * 0.2,
      6,
    );
  });

  it("is none that loses more than two thirds of itself a year", () => {
    // ln 3 = 1.0986
    expect(alone(1.09)).toBeDefined();
    expect(alone(1.11)).toBeUndefined();
  });

  it("comes to rest where its drying ends, and no higher", () => {
    // A fifth of the capacitance is left in the end: C = 0.2 + 0.8·e^(−0.5 t), and f goes as 1/C.
    const y = (years: number) => Math.log(2) - Math.log(0.2 + 0.8 * Math.exp(-0.5 * years));
    const course = Array.from({ length: 6 }, (_, k) => ({
      years: k - 5,
      y: y(k),
      epoch: 0,
      round: k,
    }));
    const [law, ...others] = fitDrying(course, Math.log(2)).filter(
      ({ share, squares }) => share === 1 && squares < 1e-12,
    );
    expect(others).toEqual([]);
    expect(law.line.slope).toBeCloseTo(0.5, 9);
    // That it rests somewhere is one of five ends: ln 5 nats.
    expect(law.course.cost).toBeCloseTo(Math.log(5), 12);
    for (const years of [0, 3, 40]) {
      expect(computeDryingHeight(law, years).y).toBeCloseTo(y(5 + years), 9);
    }
    // The slope of y: 0.8·0.5·e^(−0.5 t) of 0.2 + 0.8·e^(−0.5 t).
    const left = 0.8 * Math.exp(-0.5 * 8);
    expect(computeDryingHeight(law, 3).slope).toBeCloseTo((0.5 * left) / (0.2 + left), 9);
  });

  it("may have begun later, and the rounds before it are sound", () => {
    const law = alone(0.3, 8, 3);
    expect(law?.line.slope).toBeCloseTo(0.3, 9);
    // One figure more is fitted: the sound height.
    expect(law?.line.freedom).toBe(5);
    expect(computeDryingHeight(law as DryingLaw, 0).y).toBeCloseTo(Math.log(2) + 0.3 * 4, 9);
  });

  it("is tried from three rounds on, and to begin in no more than 24 of them", () => {
    expect(fitDrying(points(0.3, 2), Math.log(2))).toEqual([]);
    expect(fitDrying(points(0.3, 3), Math.log(2)).length).toBeGreaterThan(0);
    const begins = (count: number) => [
      ...new Set(fitDrying(points(0.05, count), Math.log(2)).map(({ sound }) => sound)),
    ];
    expect(begins(3)).toEqual([0]);
    expect(begins(5)).toEqual([0, 1, 2]);
    expect(begins(26)).toEqual(Array.from({ length: 24 }, (_, k) => k));
    expect(begins(27)).toEqual(Array.from({ length: 13 }, (_, k) => 2 * k));
  });

  it("comes to a height in time, or by some of its laws never", () => {
    const law = alone(0.3) as DryingLaw;
    // Others that are higher than the height leave nothing for its own corner.
    const never = { ...law, others: 1e9 };
    const scatter = { deviation: 1e-9, freedom: 10 };
    const height = Math.log(2) + 0.3 * 12;
    const cross = (weights: readonly [number, number]) =>
      computeDryingCrossing([law, never], weights, scatter, height);
    // Seven years on at its pace; no part keeps that to better than 30 %.
    const sure = cross([1, 0]);
    expect(sure?.years).toBeCloseTo(7, 6);
    expect(sure?.from).toBeCloseTo(7 / 1.3, 6);
    expect(sure?.until).toBeCloseTo(7 / 0.7, 6);
    expect(sure).not.toHaveProperty("open");
    // More than 2.5 % of the weight leaves it open, less than 2 % of the likeliest is none.
    expect(cross([0.98, 0.02])).not.toHaveProperty("open");
    expect(cross([0.97, 0.03])).toMatchObject({ open: true, until: 30 });
    expect(cross([0.26, 0.74])).toMatchObject({ open: true });
    expect(cross([0.24, 0.76])).toBeUndefined();
    // It is there already.
    const past = computeDryingCrossing([law], [1], scatter, Math.log(2) + 0.3 * 4);
    expect(past?.years).toBeCloseTo(-1, 6);
  });

  it("is due by the likeliest of its laws, from the earliest to the latest of all", () => {
    const [slow, quick] = [alone(0.2), alone(0.4)] as DryingLaw[];
    const scatter = { deviation: 1e-9, freedom: 10 };
    const height = Math.log(2) + 4;
    // 15 years on by the one, 5 by the other.
    const cross = (a: number, b: number) =>
      computeDryingCrossing([slow, quick], [a, b], scatter, height);
    expect(cross(0.6, 0.4)?.years).toBeCloseTo(15, 6);
    expect(cross(0.4, 0.6)?.years).toBeCloseTo(5, 6);
    for (const weights of [
      [0.6, 0.4],
      [0.4, 0.6],
    ]) {
      const { from, until } = cross(weights[0], weights[1]) ?? {};
      expect(from).toBeCloseTo(5 / 1.3, 6);
      expect(until).toBeCloseTo(15 / 0.7, 6);
    }
  });
});

describe("a date", () => {
  it("is in doubt by its course and by the pace, in quadrature", () => {
    const { years, from, until } = addPace({ years: 13, from: 9, until: 20 });
    expect(years).toBe(13);
    expect(from).toBeCloseTo(13 - Math.hypot(4, 3), 12);
    expect(until).toBeCloseTo(13 + Math.hypot(7, 13 / 0.7 - 13), 12);
    // What is past has no pace any more.
    expect(addPace({ years: -1, from: -3, until: 1 })).toEqual({ years: -1, from: -3, until: 1 });
  });

  it("that is left open ends later than anybody plans for", () => {
    expect(leaveOpen({ years: 3, from: 2, until: 4 })).toEqual({
      years: 3,
      from: 2,
      until: 30,
      open: true,
    });
    expect(leaveOpen({ years: 30, from: 20, until: 40 }).until).toBe(40);
  });
});

describe("courses of a capacitor alone", () => {
  const series = (logs: readonly number[]) =>
    logs.map((y, k) => ({ years: k + 1 - logs.length, y, epoch: 0, round: k }));
  const lawsOf = (hz: readonly number[]) => fitDrying(series(hz.map(Math.log)), Math.log(hz[0]));
  /** The law of a power of the corner that holds them all; a power of 0 is the logarithm. */
  const lawOf = (hz: readonly number[], power: number, sound = 0) =>
    lawsOf(hz).find(
      (law) =>
        law.share === 1 &&
        law.sound === sound &&
        law.course.cost === 0 &&
        // The derivative of f^p by the logarithm is p f^p: of 1 and of 4 Hz.
        Math.abs(law.course.rate(0) - (Math.abs(power) || 1)) < 1e-9 &&
        Math.abs(law.course.rate(Math.log(4)) / law.course.rate(0) - 4 ** power) < 1e-9,
    );
  const six = [0, 1, 2, 3, 4, 5];

  // f^p is a straight line, a + b t from the first round on.
  it.each([
    [-1, 0.5, -0.05],
    [-0.5, 0.8, -0.05],
    [0.5, 1.4, 0.1],
    [1, 2, 0.5],
    [1, 4, -0.3],
  ])("follows a power of %d that goes as %d + %d t", (power, a, b) => {
    const f = (t: number) => (a + b * t) ** (1 / power);
    const law = lawOf(six.map(f), power);
    if (law === undefined) throw new Error("no law fits");
    expect(law.squares).toBeLessThan(1e-12);
    expect(law.line.slope).toBeCloseTo(Math.sign(power) * b, 9);
    for (const years of [0, 1, 3]) {
      const { y, slope } = computeDryingHeight(law, years);
      expect(y).toBeCloseTo(Math.log(f(5 + years)), 9);
      // d ln f/dt = b/(p (a + b t))
      expect(slope).toBeCloseTo(b / (power * (a + b * (5 + years))), 9);
    }
  });

  it("is gone at 10 kHz, and lies no lower than a thousandth of a hertz", () => {
    // Nothing is left after ten years; the corner comes down to nothing after ten.
    const gone = lawOf(
      six.map((t) => 1 / (0.5 - 0.05 * t)),
      -1,
    ) as DryingLaw;
    expect(computeDryingHeight(gone, 6).y).toBeCloseTo(Math.log(1e4), 9);
    const half = lawOf(
      six.map((t) => (0.8 - 0.08 * t) ** -2),
      -0.5,
    ) as DryingLaw;
    expect(computeDryingHeight(half, 6).y).toBeCloseTo(Math.log(1e4), 9);
    const back = lawOf(
      six.map((t) => 4 - 0.4 * t),
      1,
    ) as DryingLaw;
    expect(computeDryingHeight(back, 6).y).toBeCloseTo(Math.log(1e-3), 9);
  });

  it("loses no more than two thirds in the year of the last round", () => {
    // 1/f = 1 − b t: by the last round b/(1 − 5 b) nepers a year, 0.94 and 1.23; ln 3 = 1.10.
    const of = (b: number) =>
      lawOf(
        six.map((t) => 1 / (1 - b * t)),
        -1,
      );
    expect(of(0.165)).toBeDefined();
    expect(of(0.172)).toBeUndefined();
  });

  it("counts each round by what it shows of the course", () => {
    // 1, 2, 4 Hz on a line of the corner itself: its logarithm shows a hertz by 1/f, so that the squares
    // weigh 1, 1/4, 1/16: Σ w = 21/16, mean year −12/7, mean 4/3 Hz, Σ w t² = 11/28, Σ w t f = 1/2.
    const law = lawOf([1, 2, 4], 1) as DryingLaw;
    expect(law.line.slope).toBeCloseTo(14 / 11, 9);
    expect(law.line.spread).toBeCloseTo(11 / 28, 9);
    expect(law.line).toMatchObject({ points: 3, freedom: 1 });
    expect(law.line.lastYears).toBeCloseTo(-12 / 7, 9);
    expect(law.line.lastY).toBeCloseTo(4 / 3, 9);
    expect(law.line.lastCount).toBeCloseTo(21 / 16, 9);
    const rests = [1, 2, 4].map((f, k) =>
      Math.abs(Math.log(f) - Math.log(4 / 3 + (14 / 11) * (k - 2 + 12 / 7))),
    );
    expect(law.squares).toBeCloseTo(rests[0] ** 2 + rests[1] ** 2 + rests[2] ** 2, 9);
    expect(law.farthest).toBeCloseTo(Math.max(...rests), 9);
  });

  it("that began later has its sound rounds about their mean", () => {
    // A hundredth up, a hundredth down, and on the line from the third round on.
    const off = [0.01, -0.01, 0, 0.3, 0.6, 0.9];
    const law = lawOf(off.map(Math.exp), 0, 2) as DryingLaw;
    expect(law.line.slope).toBeCloseTo(0.3, 9);
    expect(law.squares).toBeCloseTo(2e-4, 9);
    expect(law.farthest).toBeCloseTo(0.01, 9);
    expect(law.line.freedom).toBe(3);
  });

  it("comes to rest only where it was under way in the first round", () => {
    const laws = lawsOf(six.map((t) => Math.exp(0.1 * t)));
    const resting = laws.filter(({ course }) => course.cost > 0);
    expect(resting.length).toBeGreaterThan(0);
    expect(new Set(resting.map(({ sound }) => sound))).toEqual(new Set([0]));
    expect(Math.max(...laws.map(({ sound }) => sound))).toBe(3);
  });

  it("is fitted by figures, or not at all", () => {
    // Tenfold in five years: no course that rests at 0.3 of its value ever comes there.
    const laws = lawsOf(six.map((t) => 10 ** (t / 5)));
    expect(laws.length).toBeGreaterThan(0);
    for (const { squares, line } of laws) {
      expect(Number.isFinite(squares) && Number.isFinite(line.slope)).toBe(true);
    }
    // Readings of one day show no course.
    const sameDay = series([0, 0.1, 0.2]).map((point) => ({ ...point, years: 0 }));
    expect(fitDrying(sameDay, 0)).toEqual([]);
  });

  it("has of all shares as many as lie nearest to its own", () => {
    const weights = new Map(
      lawsOf([2, 2, 2, 2]).map(({ share, weightOfShare }) => [share, weightOfShare]),
    );
    expect([...weights.keys()].slice(0, 3)).toEqual([1, 0.72, 0.53]);
    // Borders half-way between: 0.86, 0.625; the last 0.0425 and nothing.
    expect(weights.get(1)).toBeCloseTo(0.14, 12);
    expect(weights.get(0.72)).toBeCloseTo(0.235, 12);
    expect(weights.get(0.035)).toBeCloseTo(0.0425, 12);
    expect([...weights.values()].reduce((a, b) => a + b)).toBeCloseTo(1, 12);
  });

  it("has its yearly change in doubt by height and slope", () => {
    // Of f = 2 + 0.5 t the change is b/f. By the height it goes by −b/f², by the slope by h/f²
    // where h is the height in the middle of the rounds.
    const law = lawOf(
      six.map((t) => 2 + 0.5 * t),
      1,
    ) as DryingLaw;
    const { lastY, lastCount, spread } = law.line;
    const gain = Math.hypot(0.5 / Math.sqrt(lastCount), lastY / Math.sqrt(spread)) / 4.5 ** 2;
    const reach = computeDryingReach([law], [1], { deviation: 0.01, freedom: 4 }, 0.5 / 4.5);
    expect((reach - (0.04 * 0.5) / 4.5) / (2.77645 * 0.01 * gain)).toBeCloseTo(1, 2);
  });

  describe("among others", () => {
    const rising = (rate: number) =>
      lawOf(
        six.map((t) => 2 * Math.exp(rate * t)),
        0,
      ) as DryingLaw;
    const [slowly, halfway, quickly] = [0.2, 0.3, 0.6].map(rising);

    it("counts from a fiftieth of the likeliest on", () => {
      const sure = { deviation: 0, freedom: 10 };
      const reach = (...weights: readonly number[]) =>
        computeDryingReach([slowly, quickly], weights, sure, 0.2) - 0.04 * 0.2;
      expect(reach(0.5, 0.01)).toBeCloseTo(0.4, 9);
      expect(reach(0.5, 0.015)).toBeCloseTo(0.4, 9);
      expect(reach(0.5, 0.0099)).toBeCloseTo(0, 9);
      expect(reach(0.0099, 0.5)).toBeCloseTo(0.4, 9);
      // Six nepers on: 25 years by the one, 10/1.3 at least and 25/0.7 at most by both.
      const scatter = { deviation: 1e-9, freedom: 10 };
      const fromOf = (...weights: readonly number[]) =>
        computeDryingCrossing([slowly, quickly], weights, scatter, Math.log(2) + 6)?.from;
      expect(fromOf(0.5, 0.0099)).toBeCloseTo(25 / 1.3, 6);
      expect(fromOf(0.5, 0.01)).toBeCloseTo(5 / 1.3, 6);
      expect(fromOf(0.5, 0.015)).toBeCloseTo(5 / 1.3, 6);
    });

    it("is due when as much of their weight lies before as after", () => {
      // Six nepers: after 30, 20 and 10 years from the first round, 25, 15 and 5 from now.
      const due = (...weights: readonly number[]) =>
        computeDryingCrossing(
          [slowly, quickly, halfway],
          weights,
          { deviation: 1e-9, freedom: 10 },
          Math.log(2) + 6,
        )?.years;
      expect(due(0.4, 0.3, 0.3)).toBeCloseTo(15, 6);
      expect(due(0.3, 0.3, 0.4)).toBeCloseTo(15, 6);
      expect(due(0.25, 0.5, 0.25)).toBeCloseTo(5, 6);
      expect(due(0.55, 0.2, 0.25)).toBeCloseTo(25, 6);
    });

    it("comes by shares of their weight, whatever it is in all", () => {
      const never = { ...slowly, others: 1e9 };
      const cross = (a: number, b: number) =>
        computeDryingCrossing(
          [slowly, never],
          [a, b],
          { deviation: 1e-9, freedom: 10 },
          Math.log(2) + 6,
        );
      expect(cross(2.6, 7.4)).toMatchObject({ open: true });
      expect(cross(2.4, 7.6)).toBeUndefined();
      // Three of four never come: no date.
      expect(cross(0.25, 0.75)).toBeUndefined();
      expect(cross(9.79, 0.21)).not.toHaveProperty("open");
      expect(cross(9.7, 0.3)).toMatchObject({ open: true });
    });
  });

  it("in a row has of it the share that both make together", () => {
    // (1 + 1.12/4)(1 + 2.25/4) = 2: a corner of 1.5 Hz and one that has 0.28 of the row's, in squares.
    const own = (t: number) => Math.sqrt(1.12) * Math.exp(0.3 * t);
    const row = (t: number) => Math.log(cornerOf([1.5, own(t)]));
    const points = series(six.map(row));
    expect(Math.exp(points[0].y)).toBeCloseTo(2, 9);
    const [law, ...more] = fitDrying(points, Math.log(2)).filter(
      ({ share, squares, sound }) => share === 0.28 && sound === 0 && squares < 1e-12,
    );
    expect(more).toEqual([]);
    expect(law.others).toBeCloseTo(2.25, 9);
    expect(law.line.slope).toBeCloseTo(0.3, 7);
    for (const years of [0, 5]) {
      const { y, slope, part } = computeDryingHeight(law, years);
      const quotient = (row(5 + years + 1e-4) - row(5 + years - 1e-4)) / 2e-4;
      expect(y).toBeCloseTo(row(5 + years), 7);
      expect(slope).toBeCloseTo(quotient, 6);
      expect(part).toBeCloseTo(quotient / 0.3, 5);
    }
  });
});
