import { describe, expect, it } from "vitest";
import type { Measurement } from "../../../src/measure/types.js";
import { listCandidates } from "../../../src/rank/shared/list-candidates.js";
import type { PlacedInput, SharedStructure } from "../../../src/rank/shared/types.js";

// Priors, common practice: 0.15 for a fault in what strips share, over the parts that are named and one
// that nobody has named, of which it is 0.2; a quarter of that where only one input shows it.

const nine = ["1", "2", "3", "4", "5", "6", "7", "8", "9"];

function path(strip: string, value: number, input = "line", id = "gain"): PlacedInput {
  const measurement: Measurement = {
    readings: { [id]: { value, unit: "dB", uncertainty: 0 } },
    absent: {},
    curves: {},
  };
  return { path: `${strip}/${input}`, strip, input, family: input, measurement };
}

const line = (values: readonly number[], input = "line", id = "gain") =>
  values.map((value, k) => path(`${k + 1}`, value, input, id));
const flat = nine.map(() => 0);

function list(paths: readonly PlacedInput[], more: Partial<SharedStructure> = {}) {
  const structure = { strips: nine, parts: [], levelHeld: true, ...more } as const;
  return listCandidates(paths, structure).map(({ part, members, ...one }) => ({
    ...one,
    kind: part.kind,
    strips: part.strips?.join(" "),
    members: [...members].join(" "),
  }));
}

describe("a part that the desk file names", () => {
  const ribbon = (strips: readonly string[]) => ({ kind: "ribbon", name: "A", strips }) as const;
  const prior = Math.log(0.15 / 2);

  it("is all its paths, or those of one input", () => {
    const paths = [...line(flat), ...line(flat, "mic")];
    const found = list(paths, { parts: [ribbon(["3", "1", "2"])] });
    expect(found.map(({ members }) => members)).toStrictEqual([
      "1/line 2/line 3/line 1/mic 2/mic 3/mic",
      "1/line 2/line 3/line",
      "1/mic 2/mic 3/mic",
    ]);
    expect(found.map(({ strips }) => strips)).toStrictEqual(Array(3).fill("1 2 3"));
    expect(found.map(({ logPrior }) => logPrior)).toStrictEqual(
      [0, Math.log(0.25), Math.log(0.25)].map((more) => expect.closeTo(prior + more, 12)),
    );
    // One input has no inputs to choose from.
    expect(list(line(flat), { parts: [ribbon(["1", "2", "3"])] })).toHaveLength(1);
  });

  it("is of two recorded strips at least, with three paths, and not of all", () => {
    const paths = [...line(flat), ...line(flat, "mic")];
    const count = (strips: readonly string[], own = paths) =>
      list(own, { parts: [ribbon(strips)] }).length;
    expect([count(["1"]), count(["1", "2"]), count(["1", "2", "3"])]).toStrictEqual([0, 1, 3]);
    expect([count(nine.slice(1)), count(nine)]).toStrictEqual([3, 0]);
    expect(count(["1", "2"], line(flat))).toBe(0);
    // What was not recorded counts on neither side.
    expect(
      count(
        ["1", "2", "3"],
        paths.filter(({ strip }) => Number(strip) < 4),
      ),
    ).toBe(0);
  });

  it("may be one from which nothing came back", () => {
    const silent = nine.map((strip): PlacedInput => {
      const { measurement: _, ...bare } = path(strip, 0);
      return Number(strip) < 4 ? { ...bare, unheard: { code: "digital-silence" } } : path(strip, 0);
    });
    const named = (paths: readonly PlacedInput[]) =>
      list(paths, { parts: [ribbon(["1", "2", "3"])] }).filter(({ kind }) => kind === "ribbon");
    expect(named(silent)).toHaveLength(1);
    const missing = silent.map(({ unheard: _, ...one }): PlacedInput => one);
    expect(named(missing)).toStrictEqual([]);
  });

  it("may be just some paths, of three at least and not all", () => {
    const through = (paths: readonly string[]) =>
      list(line(flat), { parts: [{ kind: "output", name: "1", strips: nine, paths }] });
    const names = nine.map((strip) => `${strip}/line`);
    expect(through(names.slice(0, 3))).toStrictEqual([
      {
        kind: "output",
        strips: undefined,
        isThrough: true,
        members: "1/line 2/line 3/line",
        logPrior: expect.closeTo(prior, 12),
      },
    ]);
    expect(through(names.slice(0, 2))).toStrictEqual([]);
    expect(through(names.slice(0, 8))).toHaveLength(1);
    expect(through(names)).toStrictEqual([]);
  });
});

describe("strips that nobody has named", () => {
  const strips = (values: readonly number[], id?: string) =>
    list(line(values, "line", id)).map((one) => one.strips);

  it("are neighbours between steps of six tenths of a floor, at most two thirds of the desk", () => {
    expect(strips(flat)).toStrictEqual([]);
    // A level's floor is 1.2 dB: 0.72 is a step, and too small to part strips by itself.
    const at = (db: number) => [0, 0, 0, 1, 1, 1, 0, 0, 0].map((one) => one * db);
    const found = strips(at(3));
    expect(found).toContain("4 5 6");
    expect(found).toContain("1 2 3");
    const sizes = new Set(found.map((one) => one?.split(" ").length));
    expect(Math.min(...[...sizes].map(Number))).toBe(3);
    expect(Math.max(...[...sizes].map(Number))).toBe(6);
    const [one] = list(line(at(3)));
    // Of nine strips 7 + 6 + 5 + 4 stretches of three to six.
    expect(one.logPrior).toBeCloseTo(Math.log((0.15 * 0.2) / 22), 12);
    // Distortion's floor is 6 dB.
    const bent = (db: number) => [0, 0, 0, 0, 0, 0, 1, 1, 1].map((k) => k * db);
    expect(strips(bent(3.7), "thd")).toContain("7 8 9");
    expect(strips(bent(2.9), "thd")).toStrictEqual([]);
  });

  it("step by the middles of three on either side", () => {
    // Three up at the end: the middles differ from two before the step to one strip before the end.
    const ends = list(line([0, 0, 0, 0, 0, 0, 3, 3, 3])).map((one) => one.strips);
    expect([...new Set(ends)].sort()).toStrictEqual(
      ["1 2 3 4 5", "1 2 3 4 5 6", "6 7 8 9", "7 8 9"].sort(),
    );
    // One that is odd by itself is no step.
    expect(strips([0, 0, 0, 9, 0, 0, 0, 0, 0])).toStrictEqual([]);
  });

  /** Sets that are no stretch of neighbours. */
  const parted = (paths: readonly PlacedInput[]) =>
    list(paths).filter(({ strips: own = "" }) => !nine.join(" ").includes(own));
  const apart = (values: readonly number[], id?: string) =>
    parted(line(values, "line", id)).map((one) => one.strips);

  it("are those on either side of the widest gap of half a floor and more", () => {
    const at = (db: number) => [0, 1, 0, 0, 1, 0, 0, 1, 0].map((one) => one * db);
    expect(apart(at(3))).toStrictEqual(["1 3 4 6 7 9", "2 5 8"]);
    expect(apart(at(-3))).toStrictEqual(["2 5 8", "1 3 4 6 7 9"]);
    expect([apart(at(0.61)).length, apart(at(0.59)).length]).toStrictEqual([2, 0]);
    // Three of nine, and six, are 84 choices.
    for (const one of parted(line(at(3)))) {
      expect(one.logPrior).toBeCloseTo(Math.log((0.15 * 0.2) / 84), 12);
    }
    // Fewer than three on one side are none.
    expect(apart([0, 3, 0, 0, 3, 0, 0, 0, 0])).toStrictEqual([]);
    // Mains lines are nobody's work.
    expect(apart(at(30), "humEven")).toStrictEqual([]);
    expect(apart(at(30), "hiss")).toHaveLength(2);
  });

  it("are parted by all their inputs, each about its own middle", () => {
    const at = (more: number) => [0, 3, 0, 0, 3, 0, 0, 3, 0].map((one) => one + more);
    const both = [...line(at(0)), ...line(at(40), "mic").slice(0, 6)];
    expect([...new Set(parted(both).map((one) => one.strips))]).toStrictEqual([
      "1 3 4 6 7 9",
      "2 5 8",
    ]);
  });
});

describe("a level that was touched", () => {
  const touched = (paths: readonly PlacedInput[], more: Partial<SharedStructure> = {}) =>
    listCandidates(paths, { strips: nine, parts: [], ...more })
      .filter(({ part }) => part.kind === "level")
      .map(({ members, logPrior }) => [members.size, logPrior] as const);

  it("holds for all that was recorded from then on", () => {
    const paths = [...line([0, 0, 0, 0, 0, 0, -3, -3, -3]), ...line(flat, "mic")];
    const prior = expect.closeTo(Math.log(0.15 / 18), 12);
    // The middles of three differ from one path before the step to one after it.
    expect(touched(paths)).toStrictEqual([
      [13, prior],
      [12, prior],
      [11, prior],
    ]);
    expect(touched(paths, { levelHeld: true })).toStrictEqual([]);
    expect(touched(line(flat))).toStrictEqual([]);
    expect(touched(line([0, 0, 0, 0, 0, 0, 20, 20, 20], "line", "hiss"))).toStrictEqual([]);
  });
});
