import { describe, expect, it } from "vitest";
import type { Conditions } from "../../../src/history/compare/conditions.js";
import type { RoundPath } from "../../../src/history/types.js";
import type { JudgedSum } from "../../../src/rank/sums.js";
import { judgeSumsAgain } from "../../../src/service/retest/judge-sums.js";
import { path, reading, round } from "../limits/rounds.js";

// Expected: powers add, so that two of −80 dB give −76.99 dB; amplitudes in phase give −73.98 dB. A
// sum of hiss may lie 1.5 dB above what is expected, one of hum 6 dB (the readings' own facets).

const strip = (name: string, value: number, id = "hiss", parts: Partial<RoundPath> = {}) =>
  path({ path: `${name}/mic`, readings: { [id]: reading(value, "dBFS") }, ...parts });
const sum = (value: number, parts: Partial<JudgedSum> = {}): JudgedSum => ({
  paths: ["1/mic", "2/mic"],
  reading: "hiss",
  unit: "dBFS",
  value,
  verdict: "sound",
  ...parts,
});

function judge(
  now: JudgedSum,
  alone: readonly RoundPath[] = ["1", "2"].map((name) => strip(name, -80, now.reading)),
  before: readonly JudgedSum[] = [],
  {
    calibration = "same",
    rose = 0,
  }: { calibration?: Conditions["calibration"]; rose?: number } = {},
) {
  const at = (value: number) => ({
    was: path({ path: "3/mic", readings: { level: reading(-18, "dBFS", 0) } }),
    now: path({ path: "3/mic", readings: { level: reading(-18 + value, "dBFS", 0) } }),
  });
  const conditions = { calibration, refused: () => undefined, differences: [], partial: [] };
  const [found] = judgeSumsAgain({
    base: { ...round(alone), sums: before },
    round: { ...round([]), sums: [now] },
    pairs: { untouched: [], all: [at(rose), at(rose), at(rose)] },
    conditions,
  });
  return found;
}
const standing = (...given: Parameters<typeof judge>) => judge(...given).standing;

describe("a sum against what its strips had alone", () => {
  it("is beyond it by more than 1.5 dB above the powers added up", () => {
    expect(judge(sum(-70))).toMatchObject({
      against: "alone",
      strips: ["1", "2"],
      most: 1.5,
      expected: expect.closeTo(-80 + 10 * Math.log10(2), 9),
    });
    expect(standing(sum(-75.48))).toBe("beyond");
    expect(standing(sum(-75.5))).toBe("unsure");
  });

  it("is within it where it is no more than the least of them had", () => {
    expect(standing(sum(-78.5))).toBe("within");
    expect(standing(sum(-78.49))).toBe("unsure");
    const unlike = [strip("1", -80), strip("2", -60)];
    expect(standing(sum(-78.5), unlike)).toBe("within");
    expect(standing(sum(-60), unlike)).toBe("unsure");
  });

  it("of hum is beyond only what all give in phase", () => {
    const hum = (value: number) => standing(sum(value, { reading: "hum" }));
    // −73.98 dB and 6 dB; −80 dB and 6 dB
    expect(hum(-67.9)).toBe("beyond");
    expect(hum(-68)).toBe("unsure");
    expect(hum(-73.9)).toBe("unsure");
    expect(hum(-74)).toBe("within");
    expect(judge(sum(-70, { reading: "hum" })).expected).toBeCloseTo(-80 + 10 * Math.log10(2), 9);
  });

  it("of clicks counts them", () => {
    // Two and three a minute are five.
    const clicks = [strip("1", 2, "clicks"), strip("2", 3, "clicks")];
    const found = judge(sum(9, { reading: "clicks" }), clicks);
    expect(found.expected).toBe(5);
    expect(found.standing).toBe("beyond");
  });

  it("of a strip that stood out takes what its siblings had, if that is less", () => {
    const finding = (expected: number, parts: object = {}) =>
      ({
        reading: "hiss",
        against: "siblings",
        value: -60,
        expected,
        deviation: 20,
        unit: "dBFS",
        score: 20,
        severity: "service",
        words: "",
        ...parts,
      }) as const;
    const expected = (...findings: RoundPath["findings"][number][]) =>
      judge(sum(-70), [strip("1", -60, "hiss", { findings }), strip("2", -80)]).expected;
    const ofBoth = (a: number, b: number) => 10 * Math.log10(10 ** (a / 10) + 10 ** (b / 10));
    expect(expected(finding(-80))).toBeCloseTo(ofBoth(-80, -80), 9);
    expect(expected(finding(-40))).toBeCloseTo(ofBoth(-60, -80), 9);
    expect(expected()).toBeCloseTo(ofBoth(-60, -80), 9);
    for (const parts of [{ severity: "remark" }, { reading: "hum" }, { atHz: 50 }]) {
      expect(expected(finding(-80, parts) as never)).toBeCloseTo(ofBoth(-60, -80), 9);
    }
  });

  it("is unsure where one of them is not known, or nobody knows how it adds", () => {
    expect(standing(sum(-99), [strip("1", -80)])).toBe("unsure");
    expect(standing(sum(-99), [strip("1", -80), strip("2", -80, "hum")])).toBe("unsure");
    const volts = strip("2", -80);
    const dbu = { ...volts, readings: { hiss: reading(-80, "dBu") } };
    expect(standing(sum(-99), [strip("1", -80), dbu])).toBe("unsure");
    const gain = judge(sum(-99, { reading: "gain" }));
    expect(gain.standing).toBe("unsure");
    expect(gain).not.toHaveProperty("expected");
  });

  it("moves with the level where nothing is calibrated", () => {
    const moved = (calibration: "none" | "same", parts: Partial<JudgedSum> = {}) =>
      judge(sum(-70, parts), undefined, [], { calibration, rose: 2 }).expected;
    expect(moved("none")).toBeCloseTo(-78 + 10 * Math.log10(2), 9);
    expect(moved("same")).toBeCloseTo(-80 + 10 * Math.log10(2), 9);
    const rising = (value: number) =>
      standing(sum(value), undefined, [], { calibration: "none", rose: 2 });
    expect([-76.5, -76.49, -73.5, -73.48].map(rising)).toStrictEqual([
      "within",
      "unsure",
      "unsure",
      "beyond",
    ]);
  });
});

describe("a sum against the same sum before", () => {
  const heardBefore = (value: number, parts: Partial<JudgedSum> = {}) => [sum(value, parts)];

  it("is beyond it by more than 1.5 dB, and else within", () => {
    const held = judge(sum(-75), undefined, heardBefore(-77));
    expect(held).toMatchObject({ against: "before", expected: -77, standing: "beyond" });
    expect(standing(sum(-75.5), undefined, heardBefore(-77))).toBe("within");
    const turned = heardBefore(-77, { paths: ["2/mic", "1/mic"] });
    expect(judge(sum(-75.5), undefined, turned).against).toBe("before");
  });

  it("is held to what was expected where it was too loud already", () => {
    const loud = (parts: Partial<JudgedSum>) =>
      judge(sum(-70), undefined, heardBefore(-60, { verdict: "too-high", ...parts })).expected;
    expect(loud({ expected: -77 })).toBe(-77);
    expect(loud({})).toBe(-60);
    expect(loud({ verdict: "sound", expected: -77 })).toBe(-60);
  });

  it("is the same only of the same paths, reading and unit", () => {
    for (const parts of [{ paths: ["1/mic"] }, { reading: "hum" }, { unit: "dBu" }]) {
      expect(judge(sum(-75), undefined, heardBefore(-77, parts)).against).toBe("alone");
    }
  });
});
