import { describe, expect, it, test } from "vitest";
import {
  addUpSum,
  computePhaseAllowance,
  findSumRule,
  type JudgedSum,
  judgeSums,
  type SumToJudge,
} from "../../src/rank/sums.js";
import { createDeviates } from "../helpers/shared-desk.js";

// Expected values: powers added up; n equal ones are 10·lg n above one.

const sum = (value: number): SumToJudge => ({
  paths: ["1/mic", "2/mic", "3/mic", "4/mic"],
  families: ["mic", "mic", "mic", "mic"],
  reading: "hiss",
  unit: "dBFS",
  adds: "power",
  values: [value],
});
const gaveThen = (parts: Partial<JudgedSum>): readonly JudgedSum[] => [
  { ...sum(0), value: -74, verdict: "sound", ...parts } as JudgedSum,
];
const judge = (value: number, earlier: readonly JudgedSum[], single?: number) =>
  judgeSums([sum(value)], () => single, earlier)[0];

describe("a sum without siblings", () => {
  it("is compared with what the same strips gave together before", () => {
    expect(judge(-73, gaveThen({}))).toMatchObject({ expected: -74, verdict: "sound" });
    expect(judge(-72, gaveThen({}))).toMatchObject({ against: "earlier", verdict: "too-high" });
    // What they had one by one would have let it pass.
    expect(judge(-72, [], -78)).toMatchObject({ verdict: "sound" });
    expect(judge(-72, [], -78).expected).toBeCloseTo(-78 + 10 * Math.log10(4), 9);
  });

  it("is not compared with what other strips gave, and nobody knows what it ought to be", () => {
    const others = ["1/mic", "2/mic", "3/mic", "5/mic"];
    expect(judge(-60, gaveThen({ paths: others }))).toMatchObject({ verdict: "cannot-tell" });
    expect(judge(-60, gaveThen({ reading: "hum" }))).toMatchObject({ verdict: "cannot-tell" });
  });

  it("is compared with what was expected where it was too high then", () => {
    const loud = gaveThen({ value: -60, expected: -74, verdict: "too-high" });
    expect(judge(-60, loud)).toMatchObject({ expected: -74, verdict: "too-high" });
    expect(judge(-74, loud)).toMatchObject({ verdict: "sound" });
  });

  it("is not called sound by one that nobody could judge", () => {
    const unknown = gaveThen({ verdict: "cannot-tell" });
    expect(judge(-74, unknown).verdict).toBe("cannot-tell");
    expect(judge(-60, unknown).verdict).toBe("too-high");
  });
});

it("a sum among others of as many paths of a family is compared with their middle", () => {
  const sums = [-74, -73.8, -74.1, -66].map(
    (value, k): SumToJudge => ({
      ...sum(value),
      paths: [1, 2, 3, 4].map((n) => `${4 * k + n}/mic`),
    }),
  );
  const judged = judgeSums(sums, () => undefined);
  expect(judged.map(({ verdict }) => verdict)).toStrictEqual([
    "sound",
    "sound",
    "sound",
    "too-high",
  ]);
  expect(judged[3]).toMatchObject({ against: "siblings", expected: -74 });
});

it("addUpSum adds powers or counts, and misses none", () => {
  expect(addUpSum([-80, -80, -80, -80], "power")).toBeCloseTo(-73.98, 2);
  expect(addUpSum([1, 2], "count")).toBe(3);
  expect(addUpSum([-80, undefined], "power")).toBeUndefined();
});

describe("hum, whose amplitudes add by phase", () => {
  const hum = (value: number, k = 0): SumToJudge => ({
    ...sum(value),
    paths: [1, 2, 3, 4].map((n) => `${4 * k + n}/mic`),
    reading: "hum",
    adds: "phase",
  });
  const judgeAll = (values: readonly number[], single?: number) =>
    judgeSums(values.map(hum), () => single);

  it("is not told from strips in phase between the sum of powers and that of amplitudes", () => {
    // Four of −80 dB: −74 as powers, −68 in phase; 6 dB more for other cables.
    expect(judgeAll([-69], -80)[0]).toMatchObject({ verdict: "sound" });
    const between = judgeAll([-65], -80)[0];
    expect(between).toMatchObject({ verdict: "cannot-tell", against: "earlier" });
    expect(between.expected).toBeCloseTo(-80 + 10 * Math.log10(4), 9);
    expect(judgeAll([-61], -80)[0]).toMatchObject({ verdict: "too-high" });
  });

  it("of healthy strips is too high less than once in a hundred, and that of an open shield always", () => {
    const deviate = createDeviates(7);
    // The resultant of many phases at random has two normal components.
    const resultant = () => 10 * Math.log10(deviate() ** 2 + deviate() ** 2);
    let high = 0;
    for (let round = 0; round < 1000; round++) {
      const judged = judgeAll([1, 2, 3, 4, 5].map(resultant));
      high += judged.filter(({ verdict }) => verdict === "too-high").length;
      const loud = judgeAll([30, ...[1, 2, 3, 4].map(resultant)]);
      expect(loud[0].verdict, `round ${round}`).toBe("too-high");
    }
    expect(high / 5000).toBeLessThan(0.01);
    expect(high).toBeGreaterThan(0);
  });

  it("counts only as far as hiss does not drown it", () => {
    // 10 dB above the others, and 10 below the hiss: 3 dB above what is heard there anyway.
    const drowned = [-90, -100, -100, -100].map((value, k) => ({ ...hum(value, k), hissDb: -80 }));
    const judged = judgeSums(drowned, () => undefined);
    expect(judged[0]).toMatchObject({ value: -90, expected: -100, verdict: "sound" });
    const [heard] = judgeAll([-90, -100, -100, -100]);
    expect(heard.verdict).toBe("cannot-tell");
  });

  it("may be above a mean of few by what the F distribution says", () => {
    // Tables: the 99.5 % point of F(2, 8) is 11.04, so that of 0.3 % lies above it.
    expect(10 ** (computePhaseAllowance(4) / 10) * Math.LN2).toBeGreaterThan(11.04);
    // And of F(2, 8) at 99.9 %: 18.49.
    expect(10 ** (computePhaseAllowance(4) / 10) * Math.LN2).toBeLessThan(18.49);
  });
});

describe("how sums of a reading are judged", () => {
  test.each([
    // Noise adds as power, hum by phase, and events one by one (docs/judging.md).
    ["hiss", { adds: "power", most: 1.5 }],
    ["hum", { adds: "phase", most: 6 }],
    ["clicks", { adds: "count", most: 1 }],
    ["gain", undefined],
    ["thd", undefined],
    ["bygone", undefined],
  ])("%s: %j", (reading, rule) => {
    expect(findSumRule(reading)).toStrictEqual(rule);
  });

  test("nobody knows what one ought to be that is not added up", () => {
    const gain = { ...sum(3), reading: "gain" };
    expect(judgeSums([gain], () => 1)[0]).toStrictEqual({
      paths: gain.paths,
      reading: "gain",
      unit: "dBFS",
      value: 3,
      verdict: "cannot-tell",
    });
    expect(judgeSums([{ ...gain, reading: "bygone" }], () => 1)[0].verdict).toBe("cannot-tell");
  });

  test("events are added up one by one", () => {
    const clicks = (value: number) => ({
      ...sum(value),
      reading: "clicks",
      unit: "/s",
      adds: "count" as const,
    });
    // Four strips with 2 a second each give 8, and one more is allowed.
    const [sound] = judgeSums([clicks(9)], () => 2);
    expect(sound).toMatchObject({ expected: 8, verdict: "sound" });
    expect(judgeSums([clicks(9.1)], () => 2)[0].verdict).toBe("too-high");
  });

  test("several returns give their middle", () => {
    expect(judge(0, [], -78).value).toBe(0);
    const [one] = judgeSums([{ ...sum(0), values: [-70, -74, -71] }], () => undefined);
    expect(one.value).toBe(-71);
  });

  test("the most that a sum may be above is still sound", () => {
    expect(judge(-72.5, gaveThen({})).verdict).toBe("sound");
    expect(judge(-72.49, gaveThen({})).verdict).toBe("too-high");
  });

  test("what was in another unit then says nothing", () => {
    expect(judge(-60, gaveThen({ unit: "dBu" })).verdict).toBe("cannot-tell");
  });

  test("of what was sound then its value counts, not what was expected of it", () => {
    const sound = gaveThen({ value: -75, expected: -74, verdict: "sound" });
    expect(judge(-74, sound).expected).toBe(-75);
    // Of one too high that nothing was expected of, there is its value alone.
    expect(judge(-74, gaveThen({ value: -70, verdict: "too-high" })).expected).toBe(-70);
  });

  test("two others make a comparison, of the same families in whatever order", () => {
    const of = (value: number, families: readonly string[], k: number): SumToJudge => ({
      ...sum(value),
      families,
      paths: [`${k}/mic`, `${k}/line`],
    });
    const [one, two] = [
      ["mic", "line"],
      ["line", "mic"],
    ];
    const judged = judgeSums([of(-60, one, 1), of(-80, two, 2), of(-80, one, 3)], () => undefined);
    expect(judged[0]).toMatchObject({ against: "siblings", expected: -80, verdict: "too-high" });
    const single = judgeSums([of(-60, one, 1), of(-80, two, 2)], () => undefined);
    expect(single[0].verdict).toBe("cannot-tell");
    const others = judgeSums(
      [of(-60, one, 1), of(-80, ["mic"], 2), of(-80, ["mic"], 3)],
      () => undefined,
    );
    expect(others[0].verdict).toBe("cannot-tell");
  });

  test("what the same strips gave before leaves nothing to phase", () => {
    const hum = { ...sum(-60), reading: "hum", adds: "phase" as const };
    const then = gaveThen({ reading: "hum", value: -70 });
    expect(judgeSums([hum], () => -60, then)[0]).toMatchObject({
      expected: -70,
      verdict: "too-high",
    });
  });
});
