import { describe, expect, test } from "vitest";
import { findReadingKind } from "../../src/measure/reading-kinds.js";
import type { Curve, Reading } from "../../src/measure/types.js";
import type { FamilyStats, PathToRank } from "../../src/rank/family-stats.js";
import { computeDeviation, rankPaths } from "../../src/rank/rank.js";
import { scoreDeviation, scoreSiblingDeviation } from "../../src/rank/robust-stats.js";
import { family, measurement, reading } from "../helpers/families.js";

// Practical floors, directions of harm and what is granted: docs/judging.md. Families are made of equal
// siblings, whose scatter is none, so that medians and deviations are seen at once.

type Readings = Readonly<Record<string, Reading>>;

/** A family of which the first path is the odd one; a value of undefined leaves the reading out. */
const ranked = (odd: Readings, usual: Readings, siblings = 7) =>
  rankPaths(family([odd, ...Array<Readings>(siblings).fill(usual)].map((one) => measurement(one))));
const first = (...given: Parameters<typeof ranked>) => ranked(...given)[0];
const db = (value: number) => reading(value, "dBFS");

describe("oddness", () => {
  test("counts a reading for no more than 98, and nothing back for 998", () => {
    expect(first({ gain: reading(-1e5) }, { gain: reading(0) }).oddness).toBe(98);
    const silent = { path: "9/mic", family: "mic", unheard: { code: "digital-silence" as const } };
    const paths = family(Array.from({ length: 6 }, () => measurement({ gain: reading(0) })));
    expect(rankPaths([...paths, silent])[6]).toStrictEqual({
      path: "9/mic",
      oddness: 998,
      rank: 1,
      findings: [
        {
          reading: "return",
          against: "siblings",
          value: 0,
          expected: 1,
          deviation: -1,
          unit: "",
          score: -1000,
          severity: "service",
          observation: { code: "nothing-back", heard: { code: "digital-silence" } },
        },
      ],
    });
  });

  test("is the root sum of squares of aspects, each by its largest, to a tenth", () => {
    const usual = { gain: reading(0), thd: reading(-90), imd: reading(-90) };
    // 98·√2 = 138.59
    expect(first({ ...usual, gain: reading(-1e5), thd: reading(1e5) }, usual).oddness).toBe(138.6);
    expect(first({ ...usual, thd: reading(1e5), imd: reading(1e5) }, usual).oddness).toBe(98);
  });

  test("has no place for what was not measured", () => {
    const paths = [...family([measurement({})]), { path: "2/mic", family: "mic" }];
    const [one, other] = rankPaths(paths);
    expect(one).toStrictEqual({ path: "1/mic", oddness: 0, findings: [], rank: 1 });
    expect(other).not.toHaveProperty("rank");
  });
});

describe("findings", () => {
  test("stand in the order of their scores, up or down", () => {
    const usual = { gain: reading(0), hiss: db(-100) };
    const order = (gain: number, hiss: number) =>
      first({ gain: reading(gain), hiss: db(hiss) }, usual).findings.map((one) => one.reading);
    expect(order(-4, -60)).toStrictEqual(["hiss", "gain"]);
    expect(order(-90, -90)).toStrictEqual(["gain", "hiss"]);
    expect(order(90, -90)).toStrictEqual(["gain", "hiss"]);
  });

  test("ask for a practical floor, twice it among five, and thrice among three", () => {
    // Of distortion and noise together: 3 dB, and no prior scatter.
    const found = (off: number, siblings: number) =>
      first({ thdN: reading(-80 + off) }, { thdN: reading(-80) }, siblings).findings.length;
    expect([found(2.9, 23), found(3.1, 23)]).toStrictEqual([0, 1]);
    expect([found(2.9, 5), found(3.1, 5)]).toStrictEqual([0, 1]);
    expect([found(5.9, 4), found(6.1, 4)]).toStrictEqual([0, 1]);
    expect([found(8.9, 2), found(9.1, 2)]).toStrictEqual([0, 1]);
  });

  test("say what was seen: value, expected, difference and siblings", () => {
    expect(first({ thdN: reading(-60) }, { thdN: reading(-80) }).findings).toStrictEqual([
      {
        reading: "thdN",
        against: "siblings",
        value: -60,
        expected: -80,
        deviation: 20,
        unit: "dB",
        score: expect.any(Number),
        severity: "service",
        observation: { code: "deviates", siblings: 8 },
      },
    ]);
  });

  test.each([
    ["gain", 20, "service"],
    ["gain", -20, "service"],
    ["headroom", -20, "service"],
    ["headroom", 20, "remark"],
    ["thd", 60, "service"],
    ["thd", -60, "remark"],
  ])("%s that is %d dB off among eight: %s", (id, off, severity) => {
    const { findings, oddness } = first({ [id]: reading(off) }, { [id]: reading(0) });
    expect(findings.map((one) => one.severity)).toStrictEqual([severity]);
    expect(oddness > 0).toBe(severity !== "remark");
  });

  test.each([
    // Of two either may be the faulty one, save that a fault loses level and adds noise.
    ["gain", -20, ["service", "remark"]],
    ["headroom", -20, ["service", "remark"]],
    ["hiss", 60, ["service", "remark"]],
    ["linearity", -20, ["remark", "remark"]],
    ["linearity", 20, ["remark", "remark"]],
  ])("%s that is %d dB off beside one other: %j", (id, off, severities) => {
    const two = ranked({ [id]: reading(off) }, { [id]: reading(0) }, 1);
    expect(two.map(({ findings }) => findings.map((one) => one.severity))).toStrictEqual(
      severities.map((one) => [one]),
    );
    expect(two.map(({ oddness }) => oddness > 0)).toStrictEqual(
      severities.map((s) => s !== "remark"),
    );
  });

  test("of a reading of two values are those of the minority", () => {
    const polarity = (value: number) => reading(value, "", 0);
    const [odd, ...others] = rankPaths(
      family([
        measurement({ polarity: polarity(-1) }),
        ...Array.from({ length: 3 }, () => measurement({ polarity: polarity(1) })),
        measurement({}),
      ]),
    );
    expect(odd).toStrictEqual({
      path: "1/mic",
      rank: 1,
      // 20 standard deviations, less the two of any crowd.
      oddness: 18,
      findings: [
        {
          reading: "polarity",
          against: "siblings",
          value: -1,
          expected: 1,
          deviation: -2,
          unit: "",
          score: 20,
          severity: "service",
          observation: { code: "unlike", siblings: 4 },
        },
      ],
    });
    expect(others.flatMap(({ findings }) => findings)).toStrictEqual([]);
    const two = ranked({ polarity: polarity(-1) }, { polarity: polarity(1) }, 1);
    expect(two.map(({ oddness }) => oddness)).toStrictEqual([0, 0]);
  });
});

describe("a spectrum that a reading speaks for", () => {
  const bands = Array.from({ length: 30 }, (_, k) => 25 * 2 ** (k / 3));
  const noise = (rise: number): Curve => ({
    x: bands,
    y: bands.map((_, k) => -120 + (k > 8 && k < 14 ? rise : 0)),
    uncertainty: bands.map(() => 0.1),
    xUnit: "Hz",
    yUnit: "dBFS",
  });
  const said = (odd: Readings, usual: Readings) =>
    rankPaths(
      family([
        measurement(odd, { noise: noise(20) }),
        ...Array.from({ length: 7 }, () => measurement(usual, { noise: noise(0) })),
      ]),
    )[0].findings.map((one) => one.reading);

  test("is not told beside one as grave of noise or hum, and told beside others", () => {
    expect(said({}, {})).toStrictEqual(["noiseCurve"]);
    expect(said({ hiss: db(-60) }, { hiss: db(-100) })).toStrictEqual(["hiss"]);
    expect(said({ hum: db(-20) }, { hum: db(-100) })).toStrictEqual(["hum"]);
    expect(said({ gain: reading(-90) }, { gain: reading(0) })).toStrictEqual([
      "gain",
      "noiseCurve",
    ]);
    // Less hiss than the siblings' is a remark, and says nothing of a rise.
    expect(said({ hiss: db(-140) }, { hiss: db(-100) }).sort()).toStrictEqual([
      "hiss",
      "noiseCurve",
    ]);
  });
});

describe("noise that is mostly hum", () => {
  const scatter = { count: 8, median: -100, scale: 0 };
  const score = (hum: number) =>
    first({ noise: db(-85), hum: db(hum) }, { noise: db(-100), hum: db(-110) }).findings.find(
      (one) => one.reading === "noise",
    )?.score;

  test("from half of its power on, is granted what hum is", () => {
    // Of hum 4 dB matter, of which a quarter is granted, and healthy siblings differ by as much.
    const asHum = scoreSiblingDeviation(-85, scatter, 0.01, 1, 1, 4).score;
    const asNoise = scoreDeviation(-85, scatter, 0.01, 0.5).score;
    expect(score(-88)).toBe(asHum);
    expect(score(-87)).toBe(asHum);
    expect(score(-88.01)).toBe(asNoise);
  });

  test.each([
    // By 12 dB: a fault from three practical floors of 2 dB, and from 15 dB where hum alone made it.
    ["hiss that is up by half as much", { hiss: db(-106) }, { hiss: db(-112) }, "service"],
    ["hiss that is up by less", { hiss: db(-106.1) }, { hiss: db(-112) }, "watch"],
    ["no hiss", {}, { hiss: db(-112) }, "service"],
    ["siblings without one", { hiss: db(-112) }, {}, "service"],
  ])("and weighted, is judged by how loud it is: %s", (_, own, others, severity) => {
    const hums = (value: number) => ({ noise: db(value), hum: db(value) });
    const { findings } = first(
      { noiseA: db(-98), ...hums(-90), ...own },
      { noiseA: db(-110), ...hums(-110), ...others },
    );
    expect(findings.find((one) => one.reading === "noiseA")?.severity).toBe(severity);
  });

  test("and weighted, is not judged so where hum is less than half of it", () => {
    const usual = { noiseA: db(-110), hiss: db(-112), noise: db(-110), hum: db(-120) };
    const of = (hum: number) =>
      first({ noiseA: db(-98), hiss: db(-112), noise: db(-90), hum: db(hum) }, usual).findings.find(
        (one) => one.reading === "noiseA",
      )?.severity;
    expect(of(-93)).toBe("watch");
    expect(of(-93.1)).toBe("service");
  });
});

describe("hum beside neighbours", () => {
  /** A row of strips by their hum; undefined where a strip has none. */
  const row = (
    values: readonly (number | undefined)[],
    { id = "hum", gains = [] as readonly number[] } = {},
  ): readonly PathToRank[] =>
    family(
      values.map((value, k) =>
        measurement({
          ...(gains.length > 0 ? { gain: reading(gains[k] ?? 0) } : {}),
          ...(value === undefined ? {} : { [id]: db(value) }),
        }),
      ),
    );
  /** What the strip at a place is expected to have. */
  const expected = (paths: readonly PathToRank[], at: number, id = "hum") =>
    rankPaths(paths)[at].findings.find((one) => one.reading === id)?.expected;
  const quiet = (count: number) => Array<number>(count).fill(-120);

  test("is expected to be the middle of two on either side, where that is more than usual", () => {
    // −120, −120 and −100, −100: −110.
    const values = [...quiet(5), -60, -100, -100, ...quiet(6)];
    expect(expected(row(values), 5)).toBe(-110);
    expect(expected(row([...values].reverse()), values.length - 6)).toBe(-110);
    expect(expected(row([...quiet(4), -60, ...quiet(5)]), 4)).toBe(-120);
    // Neighbours that have less take nothing off.
    expect(expected(row([...quiet(4), -140, -140, -60, -140, -140, ...quiet(7)]), 6)).toBe(-120);
  });

  test("is expected at the end of a row to go on as it rises", () => {
    const both = (values: readonly (number | undefined)[]) => [
      expected(row(values), 0),
      expected(row([...values].reverse()), values.length - 1),
    ];
    // −108, −100: 8 dB a strip.
    expect(both([-60, -100, -108, ...quiet(8)])).toStrictEqual([-92, -92]);
    // The next but one, from which it is two steps; and two that are two steps apart.
    expect(both([-60, undefined, -100, -108, ...quiet(8)])).toStrictEqual([-84, -84]);
    expect(both([-60, -100, undefined, -108, ...quiet(8)])).toStrictEqual([-96, -96]);
    // What falls towards the end goes on as it stands.
    expect(both([-60, -110, -100, ...quiet(8)])).toStrictEqual([-110, -110]);
  });

  test("is not told by strips that lost 20 dB, through which no hum comes", () => {
    const values = [...quiet(5), -60, -100, -100, -110, -110, ...quiet(7)];
    const at = (gain: number) =>
      expected(row(values, { gains: values.map((_, k) => (k === 6 || k === 7 ? gain : 0)) }), 5);
    expect(at(-19.9)).toBe(-110);
    expect(at(-20)).toBe(-115);
    expect(at(-60)).toBe(-115);
    // Nobody is left to tell.
    const lone = row([-60, -120, -120, ...Array(4).fill(undefined)], { gains: [0, -60, -60] });
    expect(expected(lone, 0)).toBe(-120);
  });

  test("is a matter of hum, and of noise that is mostly hum", () => {
    const values = [...quiet(5), -60, -100, -100, ...quiet(6)];
    expect(expected(row(values, { id: "hiss" }), 5, "hiss")).toBe(-120);
    expect(expected(row(values, { id: "noise" }), 5, "noise")).toBe(-120);
    const both = family(values.map((one) => measurement({ noise: db(one), hum: db(one) })));
    expect(expected(both, 5, "noise")).toBe(-110);
  });
});

describe("the deviation of one reading", () => {
  const kindOf = (id: string) => {
    const kind = findReadingKind(id);
    if (kind === undefined) throw new Error(id);
    return kind;
  };
  const usual = (id: string, more: Partial<FamilyStats> = {}, count = 8): FamilyStats => ({
    count,
    readings: { [id]: { count, median: -90, scale: 0.5 } },
    curves: {},
    excess: 1,
    ...more,
  });
  const scatter = (count: number) => ({ count, median: -90, scale: 0.5 });

  test("is undefined where the family has no such reading", () => {
    expect(computeDeviation(kindOf("hum"), db(-90), undefined)).toBeUndefined();
    expect(computeDeviation(kindOf("hum"), db(-90), usual("hiss"))).toBeUndefined();
  });

  test("is of unknown scatter by that of several siblings, and else by what is assumed", () => {
    const kind = kindOf("thdN");
    const score = (count: number, excess: number) =>
      computeDeviation(kind, reading(-80), usual("thdN", { excess }, count))?.score;
    expect(score(8, 1)).toBe(scoreDeviation(-80, scatter(8), 0.01, 0.75).score);
    expect(score(2, 1)).toBe(scoreDeviation(-80, scatter(2), 0.01, 0.75).score);
    expect(score(1, 1)).toBe(scoreSiblingDeviation(-80, scatter(1), 0.01, 0.75, 1).score);
    expect(score(8, 2)).toBe(scoreSiblingDeviation(-80, scatter(8), 0.01, 0.75, 2).score);
    expect(computeDeviation(kindOf("hum"), db(-80), usual("hum"))?.score).toBe(
      scoreSiblingDeviation(-80, scatter(8), 0.01, 1, 1, 4).score,
    );
  });

  test("above siblings that hide theirs is counted from their highest bound", () => {
    const above = (value: number, scale: number, least = 4) =>
      computeDeviation(
        { ...kindOf("hum"), least },
        db(value),
        usual("hum", { ceilings: { hum: { value: -85, scale } } }),
      );
    expect(above(-85, 0)).toBeUndefined();
    expect(above(-85.1, 0)).toBeUndefined();
    // Three times the granted 1 dB, or their own scatter where that is more.
    const near = above(-75, 0);
    expect(near).toMatchObject({ deviation: 10, expected: -85, atLeast: true });
    expect(near?.score).toBeCloseTo(10 / Math.hypot(3, 0.005, 1), 12);
    expect(above(-75, 5)?.score).toBeCloseTo(10 / Math.hypot(5, 0.005, 1), 12);
    expect(above(-75, 0, 8)?.score).toBeCloseTo(10 / Math.hypot(6, 0.005, 2), 12);
    // A reading of which nothing is granted is counted from the middle.
    expect(above(-75, 0, 0)).toMatchObject({ deviation: 15, expected: -90 });
  });

  test("of a bound counts where it lies at the siblings' middle or on the wrong side", () => {
    const of = (value: number, bound: "upper" | "lower", more: Partial<FamilyStats> = {}) =>
      computeDeviation(kindOf("hum"), { ...db(value), bound }, usual("hum", more))?.deviation;
    expect([of(-90, "upper"), of(-90, "lower")]).toStrictEqual([0, 0]);
    expect([of(-89, "upper"), of(-89, "lower")]).toStrictEqual([undefined, 1]);
    expect([of(-91, "upper"), of(-91, "lower")]).toStrictEqual([-1, undefined]);
    const bounded = { bounded: new Set(["hum"]) };
    expect([of(-91, "upper", bounded), of(-89, "lower", bounded)]).toStrictEqual([
      undefined,
      undefined,
    ]);
  });
});
