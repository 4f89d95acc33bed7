import { describe, expect, it } from "vitest";
import {
  chooseDrying,
  createCrossing,
  distanceFromDrying,
} from "../../../src/history/trend/choose-drying.js";
import type { DryingLaw } from "../../../src/history/trend/drying.js";
import type { TrendLine } from "../../../src/history/trend/trend-line.js";

// One capacitor alone, whose corner loses the same share each year: the logarithm of the row's corner is
// its own, and goes in a straight line, so that what is expected can be worked out by hand.

const line = (more: Partial<TrendLine> = {}): TrendLine => ({
  slope: 0.1,
  squares: 1,
  freedom: 4,
  spread: 1e12,
  points: 6,
  lastYears: 0,
  lastY: 0,
  lastCount: 1e12,
  ...more,
});
const law = (
  own: Partial<TrendLine> = {},
  more: Partial<Omit<DryingLaw, "line">> = {},
): DryingLaw => ({
  course: { toLine: (log) => log, fromLine: (z) => z, rate: () => 1, cost: 0 },
  share: 1,
  weightOfShare: 1,
  others: 0,
  sound: 0,
  squares: 1,
  farthest: 0,
  line: line(own),
  ...more,
});
/** Half a neper for each of so many degrees of freedom. */
const siblings = { deviation: 0.5, freedom: 8 };

describe("the law of a drying capacitor", () => {
  const choose = (laws: readonly DryingLaw[], whole = line(), around = 3) =>
    chooseDrying(laws, whole, siblings, around);

  it("is the one that leaves least, the first of equals", () => {
    const [far, near, like] = [
      law({}, { squares: 4 }),
      law({}, { squares: 1 }),
      law({}, { squares: 1 }),
    ];
    expect(choose([far, near, like])?.best).toBe(near);
    expect(choose([near, far])?.best).toBe(near);
    // exp((1 − 4)/(2·0.25)) beside 1.
    const share = Math.exp(-6);
    expect(choose([near, far])?.weights[1]).toBeCloseTo(share / (1 + share), 12);
  });

  it("is none that loses a fiftieth of a neper a year or less", () => {
    expect(choose([law({ slope: 0.02 })])).toBeUndefined();
    expect(choose([law({ slope: 0.0201 })])).toBeDefined();
    expect(choose([law({ slope: -0.1 })])).toBeUndefined();
  });

  it("scatters as its siblings do, unless it departs from its law by more than they", () => {
    // (1 + 8·0.5²)/(4 + 8) is 0.5².
    expect(choose([law()])?.scatter).toEqual({ deviation: 0.5, freedom: 12 });
    expect(choose([law({}, { squares: 0.5 })])?.scatter).toEqual({ deviation: 0.5, freedom: 12 });
    expect(choose([law({}, { squares: 4 })])?.scatter).toEqual({ deviation: 1, freedom: 4 });
  });

  it("is straight where the whole restarted and lies within two deviations of its line", () => {
    const straight = (more: Partial<TrendLine>) => choose([law()], line(more))?.straight;
    // √(3.9/4) is just below 2·0.5, √(4/4) is not.
    expect(straight({ points: 7, squares: 3.9 })).toBe(true);
    expect(straight({ points: 7, squares: 4 })).toBe(false);
    expect(straight({ points: 6, squares: 0 })).toBe(false);
    expect(straight({ points: 5, squares: 0 })).toBe(false);
  });
});

describe("when a path comes to a height", () => {
  const still = { deviation: 0, freedom: 4 };
  const drying = (own: Partial<TrendLine>, straight: boolean) => ({
    laws: [law(own)],
    weights: [1],
    scatter: still,
    best: law(own),
    straight,
  });
  const half = (
    whole: TrendLine,
    dries?: ReturnType<typeof drying>,
    ageing: Parameters<typeof createCrossing>[3] = { law: "drying" },
  ) => createCrossing(whole, still, dries, ageing)(0.5);
  const near = (value: number) => expect.closeTo(value, 4);

  it("its line says without a law, of what does not dry", () => {
    expect(half(line(), undefined, {})).toEqual({ years: near(5), from: near(5), until: near(5) });
  });

  it("its line says of what may dry as well, with the doubt of its pace and of its end", () => {
    // A part keeps its pace to 30 %: 5/1.3 to 5/0.7 years; nobody plans for more than 30.
    expect(half(line())).toEqual({
      years: near(5),
      from: near(5 / 1.3),
      until: 30,
      open: true,
    });
    expect(half(line({ slope: 0 }))).toBeUndefined();
  });

  it("its law says where the whole is bent", () => {
    expect(half(line({ slope: 0.05 }), drying({}, false))).toEqual({
      years: near(5),
      from: near(5 / 1.3),
      until: near(5 / 0.7),
    });
    expect(half(line({ slope: 0 }), drying({}, false))).toBeDefined();
  });

  it("both say where the whole is straight: the law when, the two together from when till when", () => {
    expect(half(line({ slope: 0.05 }), drying({}, true))).toEqual({
      years: near(5),
      from: near(5 / 1.3),
      until: near(10 / 0.7),
    });
    expect(half(line({ slope: 0.2 }), drying({}, true))).toEqual({
      years: near(5),
      from: near(2.5 / 1.3),
      until: near(5 / 0.7),
    });
    expect(half(line({ slope: 0 }), drying({}, true))).toBeUndefined();
    expect(half(line(), drying({ slope: 0 }, true))).toBeUndefined();
  });
});

describe("how far a stretch is off a law", () => {
  const points = (y: readonly number[], epochs: readonly number[] = []) =>
    y.map((own, round) => ({ round, years: round, y: own, epoch: epochs[round] ?? 0 }));

  it("is nothing where it loses the same share each year", () => {
    expect(distanceFromDrying(points([0, 0.1, 0.2, 0.3, 0.4]), 0)).toBeCloseTo(0, 6);
    expect(distanceFromDrying(points([0, 0.1, 0.2, 0.1, 0.4]), 0)).toBeGreaterThan(0.04);
  });

  it("is not known of two points, nor across an epoch's border", () => {
    expect(distanceFromDrying(points([0, 0.1]), 0)).toBeUndefined();
    expect(distanceFromDrying(points([0, 0.1, 0.2, 0.3], [0, 0, 0, 1]), 0)).toBeUndefined();
    expect(distanceFromDrying(points([0, 0.1, 0.2, 0.3], [0, 1, 1, 1]), 0)).toBeUndefined();
  });
});
