import { describe, expect, test } from "vitest";
import type { Row } from "../../../src/rank/shared/rows.js";
import type { MovedRow } from "../../../src/rank/shared/score-candidate.js";
import { toSharedFault } from "../../../src/rank/shared/to-shared-fault.js";
import type { PlacedInput, SharedAspect, SharedPart } from "../../../src/rank/shared/types.js";

// Expected: service from one and a half floors on; the probability is 1/(1 + exp(−0.7·odds)), at most
// 99 in a hundred; medians of hand-made values.

type Moved = Partial<MovedRow> & { readonly of: Partial<Row> };

const moved = ({ of, ...more }: Moved): MovedRow => {
  const { inside = -4, outside = 0 } = more;
  return {
    row: { reading: "gain", unit: "dB", aspect: "level", least: 1, ...of } as Row,
    family: "mic",
    inside,
    outside,
    deviation: inside - outside,
    nats: 1,
    showing: [],
    ...more,
  };
};

const strips = ["1", "2", "3", "4", "5", "6", "7", "8", "9", "10"];
const inputs: readonly PlacedInput[] = strips.map((strip) => ({
  path: `${strip}/mic`,
  strip,
  input: "mic",
  family: "mic",
}));
const ribbon: SharedPart = { kind: "ribbon", name: "A" };

function fault(
  rows: readonly Moved[],
  {
    aspects = ["level"],
    logOddsApart = 5,
    part = ribbon,
    members = ["2/mic", "3/mic", "4/mic"],
    paths = inputs,
  }: {
    readonly aspects?: readonly SharedAspect[];
    readonly logOddsApart?: number;
    readonly part?: SharedPart;
    readonly members?: readonly string[];
    readonly paths?: readonly PlacedInput[];
  } = {},
) {
  const candidate = { part, members: new Set(members), logPrior: 0 };
  return toSharedFault({ candidate, moved: rows.map(moved), aspects, logOddsApart }, paths);
}

test("a fault has its part, its paths in the order of recording, and what it moved", () => {
  expect(
    fault([{ of: {} }], { members: ["4/mic", "2/mic", "9/line"], logOddsApart: 0 }),
  ).toStrictEqual({
    part: ribbon,
    paths: ["2/mic", "4/mic"],
    findings: [{ reading: "gain", deviation: -4, unit: "dB", value: -4, expected: 0 }],
    aspect: "level",
    against: "siblings",
    severity: "service",
    probability: 0.5,
  });
});

describe("findings", () => {
  const named = (rows: readonly Moved[], aspects: readonly SharedAspect[]) =>
    fault(rows, { aspects }).findings.map(({ reading, value }) => [reading, value]);

  test("stand by aspect, and within one by how much they tell", () => {
    const rows: readonly Moved[] = [
      { of: { reading: "hiss", aspect: "noise" }, nats: 5, inside: 1 },
      { of: { reading: "noise", aspect: "noise" }, nats: 9, inside: 2 },
      { of: { reading: "gain", aspect: "level" }, nats: 1, inside: 3 },
      { of: { reading: "level", aspect: "level" }, nats: 2, inside: 4 },
    ];
    const level = [
      ["level", 4],
      ["gain", 3],
    ];
    const noise = [
      ["noise", 2],
      ["hiss", 1],
    ];
    for (const own of [rows, rows.toReversed()]) {
      expect(named(own, ["level", "noise"])).toStrictEqual([...level, ...noise]);
      expect(named(own, ["noise", "level"])).toStrictEqual([...noise, ...level]);
    }
  });

  test("are one per reading and aspect, that of the family that tells most", () => {
    const rows: readonly Moved[] = [
      { of: {}, family: "mic", nats: 3, inside: -3 },
      { of: {}, family: "line", nats: 8, inside: -5 },
      { of: { reading: "response", aspect: "bass", atHz: 40 }, inside: -1 },
      { of: { reading: "response", aspect: "treble", atHz: 16_000 }, inside: -2 },
    ];
    const told = fault(rows, { aspects: ["level", "treble", "bass"] }).findings;
    expect(told).toStrictEqual([
      { reading: "gain", deviation: -5, unit: "dB", value: -5, expected: 0 },
      { reading: "response", deviation: -2, unit: "dB", value: -2, expected: 0, atHz: 16_000 },
      { reading: "response", deviation: -1, unit: "dB", value: -1, expected: 0, atHz: 40 },
    ]);
  });

  test("hold the medians as measured, of the paths of that family, where rows are held to a floor", () => {
    // A row that reads hum no lower than −100; plainly it is −120 outside, −90 inside.
    const hum = new Map(
      [-90, -80, -70, -130, -120, -110, -10, -10].map((value, k) => [`${k + 1}/mic`, value]),
    );
    const paths = inputs.map((one, k) => (k < 6 ? one : { ...one, family: "line" }));
    const readPlain: Row["readPlain"] = ({ path }) => hum.get(path);
    const [found] = fault(
      [{ of: { reading: "humEven", aspect: "hum-even", readPlain }, inside: -80, outside: -100 }],
      { aspects: ["hum-even"], members: ["1/mic", "2/mic", "3/mic", "7/mic"], paths },
    ).findings;
    expect(found).toMatchObject({ value: -80, expected: -120, deviation: 40 });
  });
});

describe("severity", () => {
  const bank: SharedPart = { kind: "bank" };

  test.each([
    [-1.5, "service"],
    [1.5, "service"],
    [-1.49, "watch"],
    [1.49, "watch"],
  ])("of %f floors", (inside, expected) => {
    expect(fault([{ of: {}, inside }]).severity).toBe(expected);
    expect(fault([{ of: { least: 2 }, inside: 2 * inside }]).severity).toBe(expected);
  });

  test("is that of the gravest row", () => {
    const [small, large]: readonly Moved[] = [
      { of: {}, inside: -1 },
      { of: { reading: "level" }, inside: -9 },
    ];
    expect(fault([small, large]).severity).toBe("service");
    expect(fault([large, small]).severity).toBe("service");
  });

  test("is no more than watch where so many may be another make", () => {
    const noisy: Moved = { of: { reading: "hiss", aspect: "noise", least: 3 }, inside: 6 };
    const of = (members: readonly string[], part: SharedPart) =>
      fault([noisy], { aspects: ["noise"], members, part }).severity;
    const names = inputs.map(({ path }) => path);
    expect(of(names.slice(0, 4), bank)).toBe("watch");
    expect(of(names.slice(0, 3), bank)).toBe("service");
    expect(of(names.slice(0, 4), ribbon)).toBe("service");
  });
});

test.each([
  [-40, "dead"],
  [-39.9, "level"],
])("a level lost by %f dB is %s", (inside, aspect) => {
  expect(fault([{ of: {}, inside }]).aspect).toBe(aspect);
});

test("noise that fell by 40 dB is no dead part", () => {
  const rows: readonly Moved[] = [{ of: { reading: "hiss", aspect: "noise" }, inside: -60 }];
  expect(fault(rows, { aspects: ["noise"] }).aspect).toBe("noise");
});

test.each([
  [0, 0.5],
  // 1/(1 + e^−1.4), and ln 9 at 0.7 nats each
  [2, 1 / (1 + Math.exp(-1.4))],
  [Math.log(9) / 0.7, 0.9],
  [Math.log(1 / 9) / 0.7, 0.1],
  [40, 0.99],
])("odds of %f nats have a probability of %f", (logOddsApart, expected) => {
  expect(fault([{ of: {} }], { logOddsApart }).probability).toBeCloseTo(expected, 12);
});
