import { describe, expect, it } from "vitest";
import type { Conditions } from "../../../src/history/compare/conditions.js";
import type { RoundFinding, RoundPath } from "../../../src/history/types.js";
import {
  combineOutcomes,
  getAspect,
  type HeldRounds,
  judgePath,
  listReference,
} from "../../../src/service/retest/judge-path.js";
import type { SumOutcome } from "../../../src/service/retest/sum-outcome.js";
import type { Outcome } from "../../../src/service/retest/types.js";
import { path, reading, round } from "../limits/rounds.js";

// Expected: a gain is granted a quarter of its 0.7 dB of no concern from day to day, what siblings that
// agree did in common half of that; 3.5 standard deviations of both are a real change, two of them on
// the way back clear a fault. Worked out by hand beside each case.

const finding = (parts: Partial<RoundFinding> = {}): RoundFinding => ({
  reading: "gain",
  against: "siblings",
  value: -6,
  expected: 0,
  deviation: -6,
  unit: "dB",
  score: -20,
  severity: "service",
  words: "gain 6 dB below its siblings",
  ...parts,
});
const free: Conditions = {
  calibration: "none",
  refused: () => undefined,
  differences: [],
  partial: [],
};
const at = (strip: string, value: number, parts: Partial<RoundPath> = {}) =>
  path({ path: `${strip}/mic`, readings: { gain: reading(value, "dB", 0) }, ...parts });

interface Given {
  readonly was?: Partial<RoundPath>;
  readonly is?: Partial<RoundPath>;
  readonly now?: readonly RoundFinding[];
  readonly siblings?: number;
  readonly moved?: number;
  readonly more?: Partial<HeldRounds>;
}

/** Path 1 at −6 dB then and at the given gain now; its siblings at 0 dB then, at `moved` now. */
function judge(gain: number, { was, is, now = [], siblings = 4, moved = 0, more }: Given = {}) {
  const others = (value: number) =>
    Array.from({ length: siblings }, (_, k) => at(`${k + 2}`, value));
  const base = round([at("1", -6, { findings: [finding()], ...was }), ...others(0)]);
  const later = round([at("1", gain, is), ...others(moved)], "2031-06-01-01");
  const all = base.paths.map((one, k) => ({ was: one, now: later.paths[k] }));
  return judgePath("1/mic", {
    base,
    round: later,
    conditions: free,
    pairs: { untouched: all.slice(1), all },
    now: new Map([["1/mic", now]]),
    ...more,
  });
}
const nowOf = ({ figure }: ReturnType<typeof judge>) =>
  figure.code === "findings" ? figure.findings[0].now : undefined;

describe("a finding of a gain", () => {
  it("is gone where it came back by two standard deviations and nothing stands out", () => {
    // Two of √(0.0875² + 0.175²) = 0.1957 dB are 0.391 dB.
    expect(judge(0).outcome).toBe("mended");
    expect(judge(-5.6).outcome).toBe("mended");
    expect(judge(-5.62).outcome).toBe("cannot tell");
    expect(judge(-9).outcome).toBe("cannot tell");
    expect(nowOf(judge(-1))).toStrictEqual({ code: "alike", off: -1, unit: "dB" });
    expect(nowOf(judge(-9))).toStrictEqual({ code: "unclear", off: -9, unit: "dB" });
  });

  it("is held against what its siblings did", () => {
    expect(judge(-5, { moved: 1 }).outcome).toBe("cannot tell");
    expect(judge(1, { moved: 1 }).outcome).toBe("mended");
    expect(nowOf(judge(1.5, { moved: 1 }))).toMatchObject({ code: "alike", off: 0.5 });
  });

  it("that still stands out moved for real by 3.5 standard deviations, or it did not", () => {
    // 3.5 · 0.1957 dB = 0.685 dB.
    const still = (gain: number, given: Given = {}) =>
      judge(gain, { now: [finding({ deviation: gain })], ...given }).outcome;
    expect(still(-5.31)).toBe("better");
    expect(still(-5.32)).toBe("unchanged");
    expect(still(-6.68)).toBe("unchanged");
    expect(still(-6.69)).toBe("worse");
    // With no sibling the day is granted four times its usual: 3.5 · √(0.7² + 0.175²) = 2.525 dB.
    expect(still(-3.47, { siblings: 0 })).toBe("better");
    expect(still(-3.48, { siblings: 0 })).toBe("unchanged");
    // Two readings of 0.4 dB, 95 %, are 0.2 dB each: 3.5 · √(0.1957² + 0.08) = 1.204 dB.
    const doubt = { readings: { gain: reading(-6, "dB", 0.4) } };
    const doubtful = (gain: number) =>
      still(gain, { was: doubt, is: { readings: { gain: reading(gain, "dB", 0.4) } } });
    expect(doubtful(-4.79)).toBe("better");
    expect(doubtful(-4.8)).toBe("unchanged");
  });

  it("takes of several that still stand out the least", () => {
    const two = (...off: readonly number[]) =>
      judge(-3, { now: off.map((deviation) => finding({ deviation })) });
    expect(nowOf(two(-8, -3))).toStrictEqual({ code: "still", off: -3, unit: "dB" });
    expect(nowOf(two(-3, -8))).toStrictEqual({ code: "still", off: -3, unit: "dB" });
    expect(two(-8, -3).outcome).toBe("better");
    expect(two(-8, -7).outcome).toBe("worse");
    // As far off as it was is no nearer.
    expect(two(6).outcome).toBe("worse");
    expect(judge(-1, { now: [finding({ reading: "thd" })] }).outcome).toBe("mended");
  });

  it("cannot be told of what was not read, refused, or read in another unit", () => {
    expect(nowOf(judge(0, { is: { readings: {} } }))).toStrictEqual({ code: "not-read" });
    expect(nowOf(judge(0, { was: { readings: {} } }))?.code).toBe("not-read");
    const refused = { ...free, refused: () => ({ code: "other-level" as const }) };
    expect(nowOf(judge(0, { more: { conditions: refused } }))).toStrictEqual({
      code: "not-comparable",
      because: { code: "other-level" },
    });
    expect(nowOf(judge(0, { is: { readings: { gain: reading(0, "%", 0) } } }))).toStrictEqual({
      code: "not-comparable",
      because: { code: "other-unit", earlier: "dB", later: "%" },
    });
  });
});

describe("a path", () => {
  it("that one of the rounds has not is not shown", () => {
    const held = { base: round([at("1", 0)]), round: round([at("2", 0)]) } as HeldRounds;
    for (const name of ["1/mic", "2/mic", "3/mic"]) {
      expect(judgePath(name, held)).toStrictEqual({
        outcome: "not shown",
        figure: { code: "not-again", path: name },
      });
    }
  });

  const silent = finding({ reading: "return" });
  it.each<[string, Given, Outcome, string]>([
    [
      "still gives nothing",
      { is: { status: "silent" as never }, now: [silent] },
      "unchanged",
      "not-measured",
    ],
    ["was not measured again", { is: { status: "missing" } }, "not shown", "not-measured"],
    ["is heard again", {}, "mended", "signal-back"],
    ["is heard, with a fault", { now: [finding()] }, "better", "signal-back"],
    [
      "is heard, with a remark",
      { now: [finding({ severity: "remark" })] },
      "mended",
      "signal-back",
    ],
  ])("that gave nothing and %s", (_, given, outcome, code) => {
    const found = judge(0, { was: { findings: [silent] }, ...given });
    expect([found.outcome, found.figure.code]).toStrictEqual([outcome, code]);
    expect("finding" in found.figure).toBe(outcome === "better");
  });

  it("that gives nothing any more is worse, and one that was not measured is not shown", () => {
    expect(judge(0, { now: [silent] })).toMatchObject({
      outcome: "worse",
      figure: { code: "signal-gone" },
    });
    expect(judge(0, { is: { status: "missing" } }).outcome).toBe("not shown");
  });

  it("is told by its first two findings, and judged by all", () => {
    const three = [-6, -5, -4].map((deviation) => finding({ deviation }));
    const found = judge(0, { was: { findings: three } });
    expect(found.figure.code === "findings" && found.figure.findings).toHaveLength(2);
    expect(found.outcome).toBe("mended");
    const remarked = judge(0, { was: { findings: [finding({ severity: "remark" })] } });
    expect(remarked.outcome).toBe("not shown");
  });

  it("is mended of an aspect where one of its findings is clear", () => {
    const level = finding({ reading: "level" });
    expect(getAspect("level")).toBe(getAspect("gain"));
    expect(judge(0, { was: { findings: [finding(), level] } }).outcome).toBe("mended");
    const other = finding({ reading: "thd" });
    expect(getAspect("thd")).not.toBe(getAspect("gain"));
    expect(judge(0, { was: { findings: [finding(), other] } }).outcome).toBe("cannot tell");
    expect(getAspect("a-reading-of-tomorrow")).toBe("a-reading-of-tomorrow");
  });
});

describe("hiss that was heard with that of others", () => {
  const hissOf = (value: number) => ({ readings: { hiss: reading(value, "dBFS", 0) } });
  const loud = finding({
    reading: "hiss",
    unit: "dBFS",
    value: -60,
    expected: -80,
    deviation: 20,
  });
  const together = (parts: Partial<SumOutcome> = {}) =>
    judge(0, {
      was: { ...hissOf(-60), findings: [loud] },
      is: { readings: {} },
      siblings: 0,
      more: {
        sums: [
          {
            paths: ["1/mic", "2/mic"],
            strips: ["1", "2"],
            reading: "hiss",
            unit: "dBFS",
            value: -77,
            most: 1.5,
            standing: "within",
            ...parts,
          },
        ],
      },
    });

  it("is gone where all of them give far less than it did, and no more than they ought to", () => {
    expect(together().outcome).toBe("mended");
    expect(nowOf(together())).toStrictEqual({ code: "gone-in-sum", strips: 2 });
    for (const parts of [{ value: -60 }, { standing: "unsure" as const }]) {
      expect(together(parts).outcome).toBe("cannot tell");
      expect(nowOf(together(parts))).toStrictEqual({ code: "hidden-in-sum", strips: 2 });
    }
  });

  it("is not read at all in a sum of others, of another reading or in another unit", () => {
    for (const parts of [{ paths: ["2/mic"] }, { reading: "hum" }, { unit: "dBu" }]) {
      expect(nowOf(together(parts))).toStrictEqual({ code: "not-read" });
    }
  });
});

describe("combineOutcomes", () => {
  it.each<[readonly Outcome[], Outcome]>([
    [[], "not shown"],
    [["mended"], "mended"],
    [["mended", "mended"], "mended"],
    [["mended", "worse"], "worse"],
    [["unchanged", "worse"], "worse"],
    [["unchanged"], "unchanged"],
    [["unchanged", "mended"], "better"],
    [["unchanged", "better"], "better"],
    [["better"], "better"],
    [["better", "cannot tell"], "better"],
    [["unchanged", "cannot tell"], "unchanged"],
    [["mended", "cannot tell"], "cannot tell"],
    [["not shown", "cannot tell"], "cannot tell"],
    [["mended", "not shown"], "not shown"],
  ])("of %j is %s, in any order", (outcomes, expected) => {
    expect(combineOutcomes(outcomes)).toBe(expected);
    expect(combineOutcomes([...outcomes].reverse())).toBe(expected);
  });
});

describe("listReference", () => {
  const pair = (strip: string, parts: Partial<RoundPath> = {}) => ({
    was: at(strip, 0, parts),
    now: at(strip, 0),
  });
  const ill = pair("1", { findings: [finding()] });
  const [two, three, four] = ["2", "3", "4"].map((strip) => pair(strip));
  const line = pair("5", { family: "line" });
  const all = [ill, two, three, four, line];
  const strips = (untouched: typeof all) =>
    listReference({ untouched, all }, "mic").map(({ was }) => was.strip);

  it("is of the untouched siblings, or with fewer than two of all that were in order", () => {
    expect(strips([two, three])).toStrictEqual(["2", "3"]);
    expect(strips([two])).toStrictEqual(["2", "3", "4"]);
    expect(strips([two, line])).toStrictEqual(["2", "3", "4"]);
    expect(strips([])).toStrictEqual(["2", "3", "4"]);
  });
});

describe("hiss of one strip", () => {
  interface Hiss {
    /** Of path 1, then and now. */
    readonly own: readonly [number, number];
    /** Of its siblings then, and by how much all of them rose. */
    readonly siblings?: readonly number[];
    readonly rose?: number;
    /** Level of all of them, then and now. */
    readonly level?: readonly [number, number];
    readonly unit?: string;
    readonly calibration?: Conditions["calibration"];
    /** Paths of the earlier round alone. */
    readonly others?: readonly RoundPath[];
  }
  const alike = [-80, -80, -80, -80];

  function judgeHiss(given: Hiss) {
    const { own, siblings = alike, rose = 0, level, unit = "dBFS", others = [] } = given;
    const of = (time: 0 | 1) => {
      const readings = (value: number) => ({
        hiss: reading(value, unit, 0),
        ...(level && { level: reading(level[time], "dBFS", 0) }),
      });
      return [own[time], ...siblings.map((value) => value + time * rose)].map((value, k) =>
        path({ path: `${k + 1}/mic`, readings: readings(value) }),
      );
    };
    const found = finding({
      reading: "hiss",
      unit,
      value: own[0],
      expected: -80,
      deviation: own[0] + 80,
    });
    const [then, now] = [of(0), of(1)];
    const all = then.map((was, k) => ({ was, now: now[k] }));
    return judgePath("1/mic", {
      base: round([{ ...then[0], findings: [found] }, ...then.slice(1), ...others]),
      round: round(now, "2031-06-01-01"),
      conditions: { ...free, calibration: given.calibration ?? "same" },
      pairs: { untouched: all.slice(1), all },
      now: new Map(),
    });
  }

  it("is told against its siblings, less what these did in common", () => {
    const found = judgeHiss({ own: [-60, -78], rose: 1 });
    expect(found.outcome).toBe("mended");
    expect(nowOf(found)).toStrictEqual({ code: "alike", off: 1, unit: "dB" });
  });

  it("is hidden under a floor that rose, and what it would be is told", () => {
    // The fault is 10^−6 − 10^−8, and the floor 10^−4: together 0.043 dB above it.
    const found = judgeHiss({ own: [-60, -40], rose: 40 });
    expect(found.outcome).toBe("cannot tell");
    expect(nowOf(found)).toStrictEqual({
      code: "hidden",
      off: expect.closeTo(0, 9),
      unit: "dB",
      withFault: expect.closeTo(10 * Math.log10(1e-6 - 1e-8 + 1e-4) + 40, 9),
      riseDb: 40,
    });
  });

  it("goes with the level of the interface where that is not calibrated, and its unit is a level", () => {
    const louder = { own: [-60, -59], rose: 1, level: [-18, -17] } as const;
    // All of it rose by 1 dB: the fault as well.
    expect(nowOf(judgeHiss({ ...louder, calibration: "none" }))).toMatchObject({
      withFault: expect.closeTo(20, 9),
      riseDb: expect.closeTo(0, 9),
    });
    // The floor alone rose, and the fault stayed what it was.
    const still = {
      withFault: expect.closeTo(10 * Math.log10(1e-6 - 1e-8 + 10 ** -7.9) + 79, 9),
      riseDb: 1,
    };
    for (const calibration of ["same", "other"] as const) {
      expect(nowOf(judgeHiss({ ...louder, calibration }))).toMatchObject(still);
    }
    expect(nowOf(judgeHiss({ ...louder, unit: "dB", calibration: "none" }))).toMatchObject(still);
    // A floor that fell has not risen.
    expect(nowOf(judgeHiss({ own: [-60, -60], rose: -1 }))).toMatchObject({ riseDb: 0 });
  });

  // 3 dB above −80: of power 10^−7.7 − 10^−8, nearly that of the floor. With a floor of its own that may
  // be far lower it would be at −80 dBFS, with that of its siblings at −77: −79 is less than this alone.
  it.each<[string, Partial<Hiss>, Outcome]>([
    ["alike", {}, "mended"],
    ["that scatter by ten decibels", { siblings: [-90, -85, -75, -70] }, "cannot tell"],
    ["of which there are three", { siblings: [-90, -80, -70] }, "cannot tell"],
    ["too few to scatter", { siblings: [-90, -74] }, "mended"],
  ])("that is nearly like its siblings is told by these, %s", (_, given, outcome) => {
    expect(judgeHiss({ own: [-77, -79], ...given }).outcome).toBe(outcome);
  });

  it("has no siblings of another family, nor any that could not be used", () => {
    const wild = [-110, -95, -65, -50, -40].map((value, k) => ({ value, name: `${k + 6}/mic` }));
    const others = (parts: Partial<RoundPath>) =>
      wild.map(({ value, name }) =>
        path({ path: name, readings: { hiss: reading(value, "dBFS", 0) }, ...parts }),
      );
    const outcome = (parts: Partial<RoundPath>) =>
      judgeHiss({ own: [-77, -79], others: others(parts) }).outcome;
    expect(outcome({ family: "line" })).toBe("mended");
    expect(outcome({ status: "unusable" })).toBe("mended");
    expect(outcome({})).toBe("cannot tell");
  });
});

describe("the reference of a path", () => {
  it("is its siblings without itself, though nobody touched it", () => {
    const [was, is] = [
      [at("1", -6, { findings: [finding()] }), at("2", 0), at("3", 0)],
      [at("1", 0), at("2", 0), at("3", 2)],
    ];
    const all = was.map((one, k) => ({ was: one, now: is[k] }));
    const found = judgePath("1/mic", {
      base: round(was),
      round: round(is, "2031-06-01-01"),
      conditions: free,
      pairs: { untouched: all, all },
      now: new Map(),
    });
    // The middle of 0 and 2 dB; with its own 6 dB it would be 2.
    expect(nowOf(found)).toMatchObject({ off: -1 });
  });

  it("moves what still stands out as well", () => {
    const found = judge(-5, { moved: 1, now: [finding({ deviation: -6 })] });
    expect(found.outcome).toBe("unchanged");
    expect(nowOf(found)).toStrictEqual({ code: "still", off: -6, unit: "dB" });
  });
});

describe("several findings of one path", () => {
  it("make it better where one of an aspect is clear and another still stands out", () => {
    const both = { gain: reading(-6, "dB", 0), level: reading(-24, "dBFS", 0) };
    const level = finding({ reading: "level", unit: "dBFS", value: -24, expected: -18 });
    const found = judge(0, {
      was: { readings: both, findings: [finding(), level] },
      is: { readings: { ...both, gain: reading(0, "dB", 0) } },
      now: [level],
    });
    expect(found.outcome).toBe("better");
  });

  it("are told by what was read, whatever it gave with others", () => {
    const sum = { paths: ["1/mic"], strips: ["1"], reading: "gain", unit: "dB", value: 9 };
    const found = judge(0, { more: { sums: [{ ...sum, most: 1, standing: "unsure" }] } });
    expect(found.outcome).toBe("mended");
    expect(nowOf(found)).toMatchObject({ code: "alike" });
  });
});
