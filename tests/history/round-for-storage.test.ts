import { expect, test } from "vitest";
import {
  roundCurves,
  roundForStorage,
  roundReading,
  roundSignificant,
} from "../../src/history/round-for-storage.js";
import type { Round, RoundPath } from "../../src/history/types.js";
import { path, round } from "./rounds-of.js";

// Expected: how many figures docs/files.md says are kept, rounded by hand.

test("rounds to significant figures, whatever the size", () => {
  expect([123_456, 0.000123456, -1.23456, 0].map((x) => roundSignificant(x, 3))).toEqual([
    123_000, 0.000123, -1.23, 0,
  ]);
});

test("a reading keeps seven figures, its uncertainties three", () => {
  const one = { value: 1.23456789, unit: "dB", uncertainty: 0.0123456, common: 0.00123456 };
  expect(roundReading(one)).toEqual({
    value: 1.234568,
    unit: "dB",
    uncertainty: 0.0123,
    common: 0.00123,
  });
  expect(roundReading({ value: 1, unit: "dB", uncertainty: 1 })).not.toHaveProperty("common");
});

test("a curve keeps five figures, its uncertainties three", () => {
  const one = {
    x: [1234.567],
    y: [-1.234567],
    uncertainty: [0.0123456],
    floor: [-123.4567],
    xUnit: "Hz",
    yUnit: "dB",
  } as const;
  expect(roundCurves({ response: one }).response).toMatchObject({
    x: [1234.6],
    y: [-1.2346],
    uncertainty: [0.0123],
    floor: [-123.46],
  });
  const { floor: _, ...plain } = one;
  expect(roundCurves({ response: plain }).response).not.toHaveProperty("floor");
});

test("a path keeps what its parts are worth", () => {
  const take = { file: "a.wav", channel: 0, startSample: 12_345.67891, driftPpm: 11.23456 };
  const value = { value: 1.23456789, unit: "dB", uncertainty: 0.0123456 };
  const given = {
    take,
    otherTakes: [{ ...take, number: 2, status: "measured", readings: { gain: value } }],
    readings: { gain: value },
    marks: [
      { kind: "click", atS: 1.23456, overDb: 12.345 },
      { kind: "clipped", atS: 1.23456, untilS: 2.34567 },
    ],
    steps: [
      { aboveNominalDb: 0, gainDb: 0.123456, uncertainty: 0.0123456, distortionDb: -81.2345 },
      { aboveNominalDb: 1, gainDb: 0.123456, uncertainty: 0.0123456 },
    ],
    partner: { side: "right", channel: 1, readings: { gain: value }, absent: {}, curves: {} },
    oddness: 12.34567,
    findings: [
      {
        reading: "gain",
        against: "siblings",
        value: 1.23456789,
        expected: 2.3456789,
        deviation: 3.456789,
        unit: "dB",
        score: 4.56789,
        severity: "watch",
        words: "",
        atHz: 1234.567,
      },
    ],
    causes: [{ cause: "a", probability: 0.123456 }, { cause: "b" }],
  } as unknown as Partial<RoundPath>;
  const [kept] = roundForStorage(
    round("2031-03-14", [path("1/mic", given as Parameters<typeof path>[1])]),
  ).paths;
  const gain = { value: 1.234568, uncertainty: 0.0123 };
  expect(kept).toMatchObject({
    take: { startSample: 12_345.679, driftPpm: 11.235 },
    otherTakes: [{ startSample: 12_345.679, readings: { gain } }],
    readings: { gain },
    marks: [
      { atS: 1.235, overDb: 12.3 },
      { atS: 1.235, untilS: 2.346 },
    ],
    steps: [{ gainDb: 0.1235, uncertainty: 0.0123, distortionDb: -81.23 }, { gainDb: 0.1235 }],
    partner: { readings: { gain } },
    oddness: 12.35,
    findings: [
      { value: 1.234568, expected: 2.345679, deviation: 3.4568, score: 4.568, atHz: 1234.6 },
    ],
    causes: [{ probability: 0.1235 }, { cause: "b" }],
  });
  expect(kept.steps?.[1]).not.toHaveProperty("distortionDb");
  expect(kept.causes[1]).not.toHaveProperty("probability");
});

test("a cause keeps what it has, in the order of the schema, and nothing that it has not", () => {
  const whole = {
    where: "at the input",
    unlike: ["tired"],
    confirmBy: "swap it",
    against: ["no hum"],
    evidence: ["hiss"],
    kind: "fault",
    name: "noisy device",
    cause: "noisy-device",
    probability: 0.123456,
  };
  const { where: _, unlike: __, against: ___, probability: ____, ...bare } = whole;
  const causes = [whole, bare] as unknown as RoundPath["causes"];
  const [kept] = roundForStorage(round("2031-03-14", [path("1/mic", { causes })])).paths;
  expect(kept.causes).toStrictEqual([{ ...whole, probability: 0.1235 }, bare]);
  expect(Object.keys(kept.causes[0])).toEqual([
    "cause",
    "name",
    "kind",
    "probability",
    "evidence",
    "against",
    "confirmBy",
    "unlike",
    "where",
  ]);
});

test("a reference path keeps what a path does, and its drift where there is one", () => {
  const turn = {
    turn: "first",
    status: "measured",
    take: { file: "a.wav", channel: 0, startSample: 1.23456, driftPpm: 0.12345 },
    readings: { gain: { value: 1.23456789, unit: "dB", uncertainty: 0.0123456 } },
    absent: {},
    curves: {},
  };
  const kept = (drift: object) =>
    roundForStorage(
      round("2031-03-14", [], {
        reference: { name: "reference", into: "bus", turns: [turn], ...drift } as never,
      }),
    ).reference;
  const rounded = {
    ...turn,
    take: { ...turn.take, startSample: 1.235, driftPpm: 0.123 },
    readings: { gain: { value: 1.234568, unit: "dB", uncertainty: 0.0123 } },
  };
  const plain = { name: "reference", into: "bus", turns: [rounded] };
  expect(kept({})).toStrictEqual(plain);
  expect(kept({ drift: { db: 0.123456789 } })).toStrictEqual({
    ...plain,
    drift: { db: 0.1234568 },
  });
});

test("facts of a doubt are rounded however deep, whole numbers and texts stay", () => {
  const doubts = [
    { code: "x", facts: { ratio: 1.23456789, list: [0.123456789, 12_345_678, "a"], none: null } },
  ] as never;
  const kept = roundForStorage(round("2031-03-14", [], { doubts })) as unknown as {
    doubts: unknown;
  };
  expect(kept.doubts).toEqual([
    { code: "x", facts: { ratio: 1.234568, list: [0.1234568, 12_345_678, "a"], none: null } },
  ]);
  expect(roundForStorage(round("2031-03-14", []))).not.toHaveProperty("doubts");
});

test("what strips share keeps the same, and a tone's frequency where there is one", () => {
  const finding = { value: 1.23456789, expected: 2.3456789, deviation: 3.456789 };
  const shared = { findings: [{ ...finding, toneHz: 1234.56789 }, finding], probability: 0.123456 };
  const given = { ...round("2030-04-02", []), shared: [shared] } as unknown as Round;
  const [kept] = roundForStorage(given).shared ?? [];
  const rounded = { value: 1.234568, expected: 2.345679, deviation: 3.4568 };
  expect(kept.findings).toEqual([{ ...rounded, toneHz: 1234.568 }, rounded]);
});
