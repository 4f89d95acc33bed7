import { describe, expect, it } from "vitest";
import type { Conditions } from "../../../src/history/compare/conditions.js";
import type { RoundFinding, RoundPath } from "../../../src/history/types.js";
import type { HeldRounds } from "../../../src/service/retest/judge-path.js";
import { findNewFaults } from "../../../src/service/retest/new-faults.js";
import { findSharedChanges } from "../../../src/service/retest/shared-changes.js";
import { path, reading, round } from "../limits/rounds.js";

// Expected: worked out by hand. A day is granted a quarter of what is of no concern of a reading, what
// siblings that agree did in common half of that; 3.5 standard deviations of both are a change.

const free: Conditions = {
  calibration: "same",
  refused: () => undefined,
  differences: [],
  partial: [],
};
const finding = (reads: string, deviation: number, parts: Partial<RoundFinding> = {}) =>
  ({
    reading: reads,
    against: "siblings",
    value: 0,
    expected: 0,
    deviation,
    unit: "dB",
    score: 20,
    severity: "service",
    words: "",
    ...parts,
  }) as RoundFinding;
const at = (strip: string, id: string, value: number, parts: Partial<RoundPath> = {}) =>
  path({ path: `${strip}/mic`, readings: { [id]: reading(value, "dB", 0) }, ...parts });

interface Given {
  readonly id?: string;
  readonly moved?: number;
  readonly was?: Partial<RoundPath>;
  readonly is?: Partial<RoundPath>;
  readonly now?: readonly RoundFinding[];
}

/** Path 1, that moved so far while its four siblings did `moved`. */
function faults(by: number, { id = "gain", moved = 0, was, is, now }: Given = {}) {
  const others = (value: number) => ["2", "3", "4", "5"].map((strip) => at(strip, id, value));
  const base = round([at("1", id, 0, was), ...others(0)]);
  const later = round([at("1", id, by, is), ...others(moved)], "2031-06-01-01");
  const all = base.paths.map((one, k) => ({ was: one, now: later.paths[k] }));
  const held: HeldRounds = {
    base,
    round: later,
    conditions: free,
    pairs: { untouched: all.slice(1), all },
    now: new Map([["1/mic", now ?? [finding(id, by)]]]),
  };
  return findNewFaults(held).map((one) => [one.path.path, one.findings.length]);
}
const one = [["1/mic", 1]];

describe("a new fault", () => {
  it("moved for the worse by 3.5 standard deviations", () => {
    // Of a gain, 0.7 dB: 3.5 · √(0.0875² + 0.175²) = 0.685 dB.
    expect(faults(-0.69)).toStrictEqual(one);
    expect(faults(-0.68)).toStrictEqual([]);
    expect(faults(0.69)).toStrictEqual(one);
    expect(faults(0.68)).toStrictEqual([]);
    // Nearer to its siblings is no fault, though it still stands out.
    expect(faults(-3, { now: [finding("gain", 3)] })).toStrictEqual([]);
    expect(faults(3, { now: [finding("gain", -3)] })).toStrictEqual([]);
  });

  it("is told from what its siblings did", () => {
    expect(faults(-5, { moved: -5 })).toStrictEqual([]);
    expect(faults(-5, { moved: -4.32 })).toStrictEqual([]);
    expect(faults(-5, { moved: -4.31 })).toStrictEqual(one);
    // It stood still while they rose.
    expect(faults(0, { moved: 5, now: [finding("gain", -5)] })).toStrictEqual(one);
  });

  it("of noise is more of it, of headroom less", () => {
    expect(faults(9, { id: "hiss" })).toStrictEqual(one);
    expect(faults(-9, { id: "hiss" })).toStrictEqual([]);
    expect(faults(-9, { id: "headroom" })).toStrictEqual(one);
    expect(faults(9, { id: "headroom" })).toStrictEqual([]);
  });

  it("is none of what stood out before, but another of the same path", () => {
    const known = { findings: [finding("gain", -3)] };
    expect(faults(-9, { was: known })).toStrictEqual([]);
    const remarked = { findings: [finding("gain", -3, { severity: "remark" })] };
    expect(faults(-9, { was: remarked })).toStrictEqual(one);
    const two = [finding("gain", -9), finding("return", 0)];
    expect(faults(-9, { was: known, now: two })).toStrictEqual(one);
    expect(faults(-9, { now: two })).toStrictEqual([["1/mic", 2]]);
    expect(faults(-9, { now: [finding("gain", -9, { severity: "remark" })] })).toStrictEqual([]);
    expect(faults(-9, { now: [] })).toStrictEqual([]);
  });

  it("is all that stands out where there was nothing to compare with", () => {
    expect(faults(0, { was: { status: "missing" } })).toStrictEqual(one);
    expect(faults(0, { was: { readings: {} } })).toStrictEqual(one);
    expect(faults(0, { was: { readings: { gain: reading(0, "%", 0) } } })).toStrictEqual(one);
  });
});

describe("a new fault, besides", () => {
  const known = (value: number) => ({ readings: { gain: reading(value, "dB", 2) } });

  it("has to be clear of what both rounds know of it", () => {
    // Two decibels at 95 % are a standard deviation of one: 3.5 · √(1² + 0.685²/3.5²) = 3.57 dB.
    for (const side of ["was", "is"] as const) {
      const of = (by: number) => faults(by, { [side]: known(side === "was" ? 0 : by) });
      expect([of(-3.56), of(-3.58)], side).toStrictEqual([[], one]);
    }
  });

  it("is one that is not read any more, and none of a path that the round before did not have", () => {
    expect(faults(-9, { is: { readings: {} } })).toStrictEqual(one);
    const base = round([at("2", "gain", 0)]);
    const later = round([at("1", "gain", -9), at("2", "gain", 0)], "2031-06-01-01");
    const held: HeldRounds = {
      base,
      round: later,
      conditions: free,
      pairs: { untouched: [], all: [] },
      now: new Map([["1/mic", [finding("gain", -9)]]]),
    };
    expect(findNewFaults(held)).toStrictEqual([]);
  });
});

describe("what re-tested paths did in common", () => {
  type Pair = { readonly was: RoundPath; readonly now: RoundPath };
  const pair = (
    strip: string,
    id: string,
    was: number,
    now: number,
    { unit = "dB", ...parts }: { unit?: string; family?: string; findings?: RoundFinding[] } = {},
  ): Pair => {
    const of = (value: number) =>
      path({ path: `${strip}/mic`, readings: { [id]: reading(value, unit, 0) }, ...parts });
    return { was: of(was), now: of(now) };
  };
  const all = (id: string, by: number, unit = "dB") =>
    ["1", "2", "3"].map((strip) => pair(strip, id, 0, by, { unit }));
  const changes = (
    pairs: readonly Pair[],
    calibration: Conditions["calibration"] = "same",
    untouched: readonly Pair[] = [],
  ) => findSharedChanges({ all: pairs, untouched }, { ...free, calibration });
  const standings = (...given: Parameters<typeof changes>) =>
    changes(...given).map(({ reading: id, standing }) => `${id} ${standing}`);

  it("of a gain may be 1.5 dB, 1 dB where it is calibrated, give or take what it is known by", () => {
    // Three that agree: a quarter of 0.7 dB, half of it, twice for 95 %: 0.175 dB.
    expect(standings(all("gain", 0.17))).toStrictEqual([]);
    expect(standings(all("gain", 0.18))).toStrictEqual(["gain within"]);
    expect(standings(all("gain", 1))).toStrictEqual(["gain within"]);
    expect(standings(all("gain", 1.01))).toStrictEqual(["gain unsure"]);
    expect(standings(all("gain", 1.17))).toStrictEqual(["gain unsure"]);
    expect(standings(all("gain", 1.18))).toStrictEqual(["gain beyond"]);
    expect(standings(all("gain", -1.18))).toStrictEqual(["gain beyond"]);
    expect(standings(all("gain", 1.5), "none")).toStrictEqual(["gain within"]);
    expect(standings(all("gain", 1.51), "none")).toStrictEqual(["gain unsure"]);
    expect(standings(all("gain", 1.68), "none")).toStrictEqual(["gain beyond"]);
    expect(changes(all("gain", 1.2))).toMatchObject([
      {
        families: ["mic"],
        paths: 3,
        change: 1.2,
        uncertainty: expect.closeTo(0.175, 12),
        unit: "dB",
        bound: 1,
        scale: "absolute",
      },
    ]);
  });

  it("for the better is within any bound", () => {
    expect(standings(all("hiss", -20))).toStrictEqual(["hiss within"]);
    expect(standings(all("hiss", 20))).toStrictEqual(["hiss beyond"]);
    expect(standings(all("headroom", 20))).toStrictEqual(["headroom within"]);
    expect(standings(all("headroom", -20))).toStrictEqual(["headroom beyond"]);
  });

  it("needs two paths, and counts none that stood out before", () => {
    expect(standings(all("gain", 5).slice(1))).toStrictEqual(["gain beyond"]);
    expect(standings(all("gain", 5).slice(2))).toStrictEqual([]);
    const ill = { findings: [finding("gain", -5)] };
    const [one, two] = all("gain", 0);
    expect(
      standings([one, two, pair("3", "gain", -9, 0, ill), pair("4", "gain", -9, 0, ill)]),
    ).toStrictEqual([]);
  });

  it("is looked for among untouched paths by themselves too", () => {
    const still = ["1", "2", "3"].map((strip) => pair(strip, "gain", 0, 0));
    const fell = ["4", "5"].map((strip) => pair(strip, "gain", 0, -3));
    expect(standings([...still, ...fell])).toStrictEqual([]);
    expect(standings([...still, ...fell], "same", fell)).toStrictEqual(["gain beyond"]);
    expect(standings([...still, ...fell], "same", fell.slice(1))).toStrictEqual([]);
  });

  it("of a level without a calibration is what it did against the tone's", () => {
    const both = (hiss: number, level: number) =>
      ["1", "2", "3"].map((strip) => {
        const of = (more: number, tone: number) =>
          path({
            path: `${strip}/mic`,
            readings: {
              hiss: reading(-80 + more, "dBFS", 0),
              level: reading(-18 + tone, "dBFS", 0),
            },
          });
        return { was: of(0, 0), now: of(hiss, level) };
      });
    const hissOf = (...given: Parameters<typeof changes>) =>
      changes(...given).find(({ reading: id }) => id === "hiss");
    expect(hissOf(both(9, 9), "none")).toBeUndefined();
    expect(hissOf(both(9, 2), "none")).toMatchObject({
      change: expect.closeTo(7, 9),
      scale: "against-level",
    });
    expect(hissOf(both(9, 9))).toMatchObject({ change: 9, scale: "absolute" });
    // A ratio has no level to be held against.
    const ratio = both(9, 9).map(({ was, now }) => ({
      was: { ...was, readings: { ...was.readings, hiss: reading(-80, "dB", 0) } },
      now: { ...now, readings: { ...now.readings, hiss: reading(-71, "dB", 0) } },
    }));
    expect(hissOf(ratio, "none")).toMatchObject({ change: 9, scale: "absolute" });
  });

  it("is one change of families that did alike, and two of those that did not", () => {
    const of = (family: string, first: number, by: number) =>
      [0, 1, 2].map((k) => pair(`${first + k}`, "gain", 0, by, { family }));
    expect(changes([...of("mic", 1, -3), ...of("line", 4, -5)])).toMatchObject([
      { families: ["mic", "line"], paths: 6, change: -5 },
    ]);
    expect(changes([...of("mic", 1, -3), ...of("line", 4, 5)])).toMatchObject([
      { families: ["line"], paths: 3, change: 5 },
      { families: ["mic"], paths: 3, change: -3 },
    ]);
    expect(standings([...of("mic", 1, 0.5), ...of("line", 4, -5)])).toStrictEqual([
      "gain beyond",
      "gain within",
    ]);
  });

  it("of a reading that only some of the paths have is told by these", () => {
    const [one, two, three] = all("gain", 5);
    const without = { was: { ...three.was, readings: {} }, now: { ...three.now, readings: {} } };
    for (const pairs of [
      [one, two, without],
      [without, one, two],
    ]) {
      expect(changes(pairs)).toMatchObject([{ reading: "gain", paths: 2, change: 5 }]);
    }
  });

  it("of hum is told with no hiss beside it", () => {
    expect(standings(all("hum", 9, "dBFS"))).toStrictEqual(["hum beyond"]);
    expect(standings(all("hum", -9, "dBFS"))).toStrictEqual(["hum within"]);
  });

  it("is known no better than two calibrations that are not the same", () => {
    const calibrated = ["1", "2", "3"].map((strip) => {
      const of = (value: number, common: number) =>
        path({
          path: `${strip}/mic`,
          readings: { gain: { ...reading(value, "dB", common), common } },
        });
      return { was: of(0, 0.3), now: of(1.4, 0.4) };
    });
    // 0.3 and 0.4 dB give 0.5 dB, beside the 0.175 dB of what a day is granted.
    expect(changes(calibrated, "other")[0]).toMatchObject({
      uncertainty: expect.closeTo(Math.hypot(0.175, 0.5), 9),
      standing: "unsure",
    });
    for (const calibration of ["same", "none"] as const) {
      expect(changes(calibrated, calibration)[0].uncertainty).toBeCloseTo(0.175, 9);
    }
  });

  it("names the furthest beyond its bound first, as a multiple of it", () => {
    const both = ["1", "2", "3"].map((strip) => {
      const of = (gain: number, hiss: number) =>
        path({
          path: `${strip}/mic`,
          readings: { gain: reading(gain, "dB", 0), hiss: reading(hiss, "dB", 0) },
        });
      return { was: of(0, 0), now: of(3, 6) };
    });
    // Three times 1 dB of gain, twice 3 dB of hiss.
    expect(standings(both)).toStrictEqual(["gain beyond", "hiss beyond"]);
  });

  const curves = (id: string, by: readonly number[]) => {
    const x = [100, 1000, 8000, 16_000];
    return ["1", "2", "3"].map((strip) => {
      const of = (y: readonly number[]) =>
        path({
          path: `${strip}/mic`,
          curves: {
            [id]: { x, y, uncertainty: x.map(() => 0), xUnit: "Hz", yUnit: "dB" },
          },
        });
      return { was: of(x.map(() => 0)), now: of(by) };
    });
  };

  it("of a curve is told where it is largest", () => {
    // Of a response up to 1 dB, either way. 100 Hz is no octave of the list: it is read at 125 Hz.
    expect(changes(curves("response", [0, 0, -4, -2]))).toMatchObject([
      { reading: "response", atHz: 8000, change: -4, bound: 1, standing: "beyond", paths: 3 },
    ]);
    expect(changes(curves("response", [0, 2, 0, 4]))).toMatchObject([
      { reading: "response", atHz: 16_000, change: 4, standing: "beyond" },
    ]);
    expect(changes(curves("response", [0, -4, 0, 0]))).toMatchObject([{ atHz: 1000 }]);
  });

  it("of a curve of distortion or noise is for the worse where it rises", () => {
    for (const [id, name] of [
      ["distortion", "distortionCurve"],
      ["noise", "noiseCurve"],
    ]) {
      const [rise] = changes(curves(id, [0, 0, 20, 0]));
      expect(rise).toMatchObject({ reading: name, atHz: 8000, bound: 6, standing: "beyond" });
      expect(changes(curves(id, [0, 0, -20, 0]))[0]).toMatchObject({ standing: "within" });
    }
  });

  it("is told of no curve that has no bound of its own", () => {
    for (const id of ["responseLow", "harmonic2", "crosstalk"]) {
      expect(changes(curves(id, [9, 9, 9, 9]))).toStrictEqual([]);
    }
  });
});
