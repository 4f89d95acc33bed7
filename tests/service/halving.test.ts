import { describe, expect, it } from "vitest";
import {
  countMostPlays,
  type HalvingPlay,
  planHalving,
  weighStrip,
} from "../../src/service/halving.js";
import { createDeviates } from "../helpers/shared-desk.js";

// Expected values: powers added by hand: a bus of power B, n strips of e each, one with X more.

const db = (power: number) => 10 * Math.log10(power);

/** Plays until the answer, with what the plays would really give. */
function search(n: number, faulty: number | undefined, bus: number, excess: number) {
  const group = Array.from({ length: n }, (_, k) => String(k + 1));
  const each = (1 - bus) / n;
  const halving = { group, adds: "power" as const, allDb: db(1 + excess), expectedDb: 0 };
  const plays: HalvingPlay[] = [];
  for (;;) {
    const step = planHalving(halving, plays);
    if (step.do !== "play") return { step, plays: plays.length };
    if (plays.length > 12) throw new Error("too many plays");
    const own = faulty !== undefined && step.open.includes(String(faulty)) ? excess : 0;
    plays.push({ open: step.open, levelDb: db(bus + step.open.length * each + own) });
  }
}

describe("halving a group of strips", () => {
  it.each([2, 3, 5, 8, 13, 15])("finds each of %i strips within log2 and one plays", (n) => {
    for (let faulty = 1; faulty <= n; faulty++) {
      for (const bus of [0, 0.3, 0.9]) {
        for (const excess of [1, 4, 30]) {
          const { step, plays } = search(n, faulty, bus, excess);
          expect(step, `${faulty} of ${n}, bus ${bus}, ${excess}`).toStrictEqual({
            do: "found",
            strip: String(faulty),
          });
          expect(plays).toBeLessThanOrEqual(Math.ceil(Math.log2(n)) + 1);
        }
      }
    }
  });

  it("finds it though all plays read half a decibel too high, and no further off than 1.5 dB", () => {
    // Strip 3 of four gives ten times what all others do, and no bus is there.
    const group = ["1", "2", "3", "4"];
    const step = (off: number, ...open: readonly (readonly string[])[]) =>
      planHalving(
        { group, adds: "power", allDb: db(11), expectedDb: 0 },
        open.map((strips) => ({
          open: strips,
          levelDb: db(strips.length / 4 + (strips.includes("3") ? 10 : 0)) + off,
        })),
      );
    for (const off of [0, 0.6, -0.6, 1.4]) {
      expect(step(off, ["3", "4"], ["3"]), `${off}`).toStrictEqual({ do: "found", strip: "3" });
      expect(step(off, ["3", "4"]), `${off}`).toMatchObject({ do: "play", open: ["3"], most: 2 });
    }
    expect(step(6, ["3", "4"], ["3"])).toMatchObject({ do: "unclear" });
  });

  it("of one strip alone has found it, and of several asks for the first half", () => {
    const ask = (count: number) =>
      planHalving(
        {
          group: Array.from({ length: count }, (_, k) => String(k + 1)),
          adds: "power",
          allDb: 10,
          expectedDb: 0,
        },
        [],
      );
    expect(ask(1)).toStrictEqual({ do: "found", strip: "1" });
    expect(ask(2)).toStrictEqual({ do: "play", open: ["1"], most: 2 });
    expect(ask(5)).toStrictEqual({ do: "play", open: ["1", "2", "3"], most: 4 });
  });

  it("names no strip where the excess is the bus's own", () => {
    // All plays are as loud as the whole: it is in every one of them.
    const group = ["1", "2", "3", "4"];
    const plays = [["1", "2"], ["3", "4"], ["1"]].map((open) => ({ open, levelDb: db(5) }));
    const step = planHalving({ group, adds: "power", allDb: db(5), expectedDb: 0 }, plays);
    expect(step.do).toBe("unclear");
  });

  it("says when the fault went away", () => {
    const group = ["1", "2", "3", "4"];
    const plays = [
      { open: ["1", "2"], levelDb: db(0.6) },
      { open: ["3"], levelDb: db(0.4) },
      { open: ["4"], levelDb: db(0.4) },
    ];
    const step = planHalving({ group, adds: "power", allDb: db(11), expectedDb: 0 }, plays);
    expect(step).toStrictEqual({ do: "unclear", why: "none" });
  });

  it("counts the plays that are needed at most", () => {
    expect([2, 3, 4, 8, 9, 15].map(countMostPlays)).toStrictEqual([2, 3, 3, 4, 5, 5]);
  });
});

describe("halving a group whose hum adds by phase", () => {
  /** Level of strips of unit amplitude, each with a phase of its own, one of them stronger. */
  function playPhases(
    deviate: () => number,
    open: readonly string[],
    strong: string,
    times: number,
  ) {
    let [x, y] = [0, 0];
    for (const strip of open) {
      // The direction of two normal deviates is any.
      const [a, b] = [deviate(), deviate()];
      const own = (strip === strong ? times : 1) / Math.hypot(a, b);
      x += own * a;
      y += own * b;
    }
    return db(x * x + y * y);
  }

  function searchPhases(n: number, faulty: number, times: number, seed: number) {
    const deviate = createDeviates(seed);
    const group = Array.from({ length: n }, (_, k) => String(k + 1));
    const play = (open: readonly string[]) => playPhases(deviate, open, String(faulty), times);
    const halving = { group, adds: "phase" as const, allDb: play(group), expectedDb: db(n) };
    const plays: HalvingPlay[] = [];
    for (;;) {
      const step = planHalving(halving, plays);
      if (step.do !== "play") return { step, plays: plays.length };
      plays.push({ open: step.open, levelDb: play(step.open) });
    }
  }

  it.each([2, 5, 8, 12])("finds each of %i strips that hums 26 dB more, and never another", (n) => {
    for (let faulty = 1; faulty <= n; faulty++) {
      const { step, plays } = searchPhases(n, faulty, 20, 100 * n + faulty);
      expect(step, `${faulty} of ${n}`).toStrictEqual({ do: "found", strip: String(faulty) });
      expect(plays).toBeLessThanOrEqual(Math.ceil(Math.log2(n)) + 1);
    }
  });

  it("names no strip of those that hum alike", () => {
    for (let seed = 1; seed <= 40; seed++) {
      const { step, plays } = searchPhases(6, 1, 1, seed);
      expect(step.do, `seed ${seed}`).toBe("unclear");
      expect(plays).toBeLessThanOrEqual(4);
    }
  });
});

describe("the next play, from plays given by hand", () => {
  const strips = (count: number) => Array.from({ length: count }, (_, k) => String(k + 1));
  /** Strips whose healthy sum is 0 dB, with so much power more; plays as strips and power. */
  const next = (count: number, excess: number, ...plays: readonly (readonly [string, number])[]) =>
    planHalving(
      { group: strips(count), adds: "power", allDb: db(1 + excess), expectedDb: 0 },
      plays.map(([open, power]) => ({ open: open.split(" "), levelDb: db(power) })),
    );

  it("is of the strip alone until that very play was made", () => {
    // Strip 3 of four gives ten times what all do, and no bus is there: a quarter each.
    const three = { do: "play", open: ["3"], most: 1 };
    expect(next(4, 10, ["3 4", 10.5], ["4", 0.25])).toStrictEqual(three);
    expect(next(4, 10, ["3 4", 10.5], ["3 1", 10.5])).toStrictEqual(three);
    expect(next(4, 10, ["3 4", 10.5], ["3 1", 10.5], ["3", 10.25])).toStrictEqual({
      do: "found",
      strip: "3",
    });
  });

  it("is of every other strip after one that did not part them, then of the other half", () => {
    // Two of four at power 1: all of it bus, or half of it none and half the fault of 0.5.
    expect(next(4, 0.5, ["1 2", 1])).toStrictEqual({ do: "play", open: ["1", "3"], most: 3 });
    // Strip 1 with no bus, or strip 4 with nothing else
    expect(next(4, 0.5, ["1 2", 1], ["1 3", 1])).toStrictEqual({
      do: "play",
      open: ["1"],
      most: 2,
    });
    // Strip 1 would give 0.75, strip 4 a power of 1: midway in decibels.
    const between = Math.sqrt(0.75);
    expect(next(4, 0.5, ["1 2", 1], ["1 3", 1], ["1", between])).toStrictEqual({
      do: "play",
      open: ["4"],
      most: 2,
    });
  });

  it("is none where all were made and leave two", () => {
    // Each of two alone gives the same: either may be the one.
    expect(next(2, 0.5, ["1", 1.2], ["2", 1.2])).toStrictEqual({ do: "unclear", why: "several" });
    // At power 1 it is strip 1 without a bus, or the bus alone.
    expect(next(2, 0.5, ["1", 1])).toStrictEqual({ do: "play", open: ["2"], most: 2 });
  });

  it("is none where no strip explains the plays: several, or none by now", () => {
    const loud = [
      ["1 2", 11],
      ["3 4", 11],
      ["1", 11],
    ] as const;
    expect(next(4, 10, ...loud)).toStrictEqual({ do: "unclear", why: "several" });
    expect(next(4, 10, ["1 2", 0.5], ["3 4", 0.5])).toStrictEqual({ do: "unclear", why: "none" });
    // All of the healthy power may be bus: 11 wherever strip 3 is open. Up to 1.5 dB more is a fit.
    const off = (decibels: number) =>
      next(4, 10, ["3 4", 11 * 10 ** (decibels / 10)], ["3", 11 * 10 ** (decibels / 10)]);
    expect(off(1.49)).toStrictEqual({ do: "found", strip: "3" });
    expect(off(1.51)).toStrictEqual({ do: "unclear", why: "several" });
  });

  it("of hum asks for the first half, and names the strip that hums by itself", () => {
    // Four strips of 0 dB each come to 6 dB in power; one hums 26 dB.
    const from = (allDb: number, ...plays: readonly (readonly [string, number])[]) =>
      planHalving(
        { group: strips(4), adds: "phase", allDb, expectedDb: db(4) },
        plays.map(([open, levelDb]) => ({ open: open.split(" "), levelDb })),
      );
    const hum = (...plays: readonly (readonly [string, number])[]) => from(26, ...plays);
    expect(hum()).toStrictEqual({ do: "play", open: ["1", "2"], most: 3 });
    expect(hum(["1 2", 26])).toStrictEqual({ do: "play", open: ["1"], most: 2 });
    expect(hum(["1 2", 3])).toStrictEqual({ do: "play", open: ["3"], most: 2 });
    expect(hum(["1 2", 26], ["1", 0])).toStrictEqual({ do: "play", open: ["2"], most: 1 });
    expect(hum(["1 2", 26], ["1", 26])).toStrictEqual({ do: "found", strip: "1" });
    expect(hum(["1 2", 3], ["3", 0], ["4", 26])).toStrictEqual({ do: "found", strip: "4" });
    // It was no more than a strip's luck of phases; it has gone.
    expect(from(9, ["1 2", 3], ["3", 0], ["4", 0])).toStrictEqual({ do: "unclear", why: "none" });
    expect(hum(["1 2", 3], ["3", 0], ["4", 0])).toStrictEqual({ do: "unclear", why: "several" });
    expect(
      planHalving({ group: ["9"], adds: "phase", allDb: 26, expectedDb: 6 }, []),
    ).toStrictEqual({
      do: "found",
      strip: "9",
    });
  });
});

describe("two strips that hum", () => {
  const halving = {
    group: ["1", "2", "3", "4"],
    adds: "phase" as const,
    allDb: -40,
    expectedDb: -70,
  };
  const first = [
    { open: ["1", "2"], levelDb: -43 },
    { open: ["1"], levelDb: -43 },
  ];
  // Rayleigh: healthy strips, at most 6 dB above what is expected, exceed r with exp(−r²/σ²). One in a
  // thousand is 10·lg(ln 1000) = 8.4 dB above that: −55.6 dB here.
  it.each([
    [-43, { do: "unclear", why: "several" }],
    [-55.4, { do: "unclear", why: "several" }],
    [-55.8, { do: "found", strip: "1" }],
    [-70, { do: "found", strip: "1" }],
  ])("are not taken for one where the others give %f dB without it", (levelDb, step) => {
    expect(planHalving(halving, [...first, { open: ["3", "4"], levelDb }])).toStrictEqual(step);
  });
});

describe("how well plays of hum fit a strip", () => {
  // Rayleigh's density of the resultant of healthy strips, a normal one about a strong strip, and one of
  // the logarithm of the healthy strips' level, all maximised over the trial values of the comments.
  const amplitude = (decibels: number) => 10 ** (decibels / 20);
  const rayleigh = (r: number, power: number) => ((2 * r) / power) * Math.exp(-(r ** 2) / power);
  const normal = (x: number, mean: number, variance: number) =>
    Math.exp(-((x - mean) ** 2) / (2 * variance)) / Math.sqrt(2 * Math.PI * variance);
  const scales = [0.5, 0.71, 1, 1.41, 2];
  const shares = [0, 0.2, 0.4, 0.6, 0.8, 1];
  const strengths = Array.from({ length: 25 }, (_, k) => amplitude(-6 + k / 2));
  type Play = readonly [open: string, levelDb: number];

  const weigh = (group: string, allDb: number, plays: readonly Play[], faulty?: string) =>
    weighStrip(
      { group: group.split(" "), adds: "phase", allDb, expectedDb: 0 },
      plays.map(([open, levelDb]) => ({ open: open.split(" "), levelDb })),
      faulty,
    );
  function expected(group: string, allDb: number, plays: readonly Play[], faulty?: string) {
    const count = group.split(" ").length;
    const heard = [[group, allDb] as const, ...plays].map(([open, levelDb]) => ({
      part: open.split(" ").length / count,
      has: faulty !== undefined && open.split(" ").includes(faulty),
      r: amplitude(levelDb),
    }));
    const all = scales.flatMap((scale) =>
      shares.flatMap((share) =>
        strengths.map((times) => {
          const strong = times * amplitude(allDb);
          return heard.reduce(
            (sum, { part, has, r }) => {
              const power = scale ** 2 * (share + (1 - share) * part);
              const density = has
                ? normal(r, strong, power / 2 + (0.1 * strong) ** 2)
                : rayleigh(r, power);
              return sum + Math.log(density);
            },
            // A standard deviation of one half of the natural logarithm.
            (-0.5 * Math.log(scale) ** 2) / 0.5 ** 2,
          );
        }),
      ),
    );
    return Math.max(...all);
  }

  it.each([-6, 0, 3, 9, 14])("is Rayleigh's density where none is faulty: %d dB", (allDb) => {
    expect(weigh("1", allDb, [])).toBeCloseTo(expected("1", allDb, []), 9);
    const plays: readonly Play[] = [
      ["1 2", -4],
      ["3", 1],
    ];
    expect(weigh("1 2 3 4", allDb, plays)).toBeCloseTo(expected("1 2 3 4", allDb, plays), 9);
  });

  it.each([-6, 0, 3, 9, 14])("is a normal one where it is among them: %d dB", (allDb) => {
    expect(weigh("1", allDb, [], "1")).toBeCloseTo(expected("1", allDb, [], "1"), 9);
    for (const faulty of ["1", "3"]) {
      const plays: readonly Play[] = [
        ["1 2", allDb - 1],
        ["3", -7],
      ];
      const want = expected("1 2 3 4", allDb, plays, faulty);
      expect(weigh("1 2 3 4", allDb, plays, faulty), faulty).toBeCloseTo(want, 9);
    }
  });
});
