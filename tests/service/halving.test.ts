import { describe, expect, it } from "vitest";
import { countMostPlays, type HalvingPlay, planHalving } from "../../src/service/halving.js";
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
          expect(step, `${faulty} of ${n}, bus ${bus}, ${excess}`).toEqual({
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
      expect(step(off, ["3", "4"], ["3"]), `${off}`).toEqual({ do: "found", strip: "3" });
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
    expect(ask(1)).toEqual({ do: "found", strip: "1" });
    expect(ask(2)).toEqual({ do: "play", open: ["1"], most: 2 });
    expect(ask(5)).toEqual({ do: "play", open: ["1", "2", "3"], most: 4 });
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
    expect(step).toEqual({ do: "unclear", why: "none" });
  });

  it("counts the plays that are needed at most", () => {
    expect([2, 3, 4, 8, 9, 15].map(countMostPlays)).toEqual([2, 3, 3, 4, 5, 5]);
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
      expect(step, `${faulty} of ${n}`).toEqual({ do: "found", strip: String(faulty) });
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
