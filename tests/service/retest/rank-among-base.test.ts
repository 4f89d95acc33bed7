import { describe, expect, it, test } from "vitest";
import type { Conditions } from "../../../src/history/compare/conditions.js";
import type { RoundPath } from "../../../src/history/types.js";
import { pairPaths, rankAmongBase } from "../../../src/service/retest/rank-among-base.js";
import { path, reading, round } from "../limits/rounds.js";

// Expected: worked out by hand. Eight siblings were within a tenth of a decibel of each other; what a
// path is off now is its own change less what its family did in common.

const free = { calibration: "same", refused: () => undefined } as unknown as Conditions;
const names = ["1", "2", "3", "4", "5", "6", "7", "8"];
const off = [0, 0.1, -0.1, 0.05, -0.05, 0.1, -0.1, 0];
const at = (strip: string, parts: Partial<RoundPath>) => path({ path: `${strip}/mic`, ...parts });
const gain = (value: number, unit = "dB") => ({ readings: { gain: reading(value, unit) } });
/** A difference of a response is one where neighbouring points share it. */
const hz = [400, 500, 600, 700, 800, 900, 1000, 1100, 1200, 8000, 9000, 10_000, 11_000, 12_000];
const curve = (y: readonly number[], yUnit = "dB") => ({
  curves: { response: { x: hz, y, uncertainty: y.map(() => 0.01), xUnit: "Hz" as const, yUnit } },
});

const earlier = round(names.map((strip, k) => at(strip, gain(off[k]))));

function rank(
  now: Readonly<Record<string, Partial<RoundPath>>>,
  { base = earlier, touched = ["1"], conditions = free } = {},
) {
  const later = round(
    Object.entries(now).map(([strip, parts]) => at(strip, parts)),
    "2031-06-01-01",
  );
  const rounds = { earlier: base, later };
  const found = rankAmongBase(rounds, pairPaths(rounds, touched), conditions);
  return Object.fromEntries(
    [...found].map(([name, findings]) => [
      name,
      Object.fromEntries(findings.map((one) => [one.reading, Math.round(10 * one.deviation) / 10])),
    ]),
  );
}

test("paths are paired that were measured both times, and the untouched by themselves", () => {
  const then = round([
    at("1", gain(1)),
    at("2", gain(2)),
    at("3", { status: "missing" }),
    at("4", gain(4)),
    at("6", gain(6)),
  ]);
  const later = round([
    at("6", gain(16)),
    at("1", gain(11)),
    at("2", { status: "missing" }),
    at("3", gain(13)),
    at("5", gain(15)),
  ]);
  const { all, untouched } = pairPaths({ earlier: then, later }, ["1"]);
  const values = (pairs: typeof all) =>
    pairs.map(({ was, now }) => [was.readings.gain.value, now.readings.gain.value]);
  expect(values(all)).toStrictEqual([
    [6, 16],
    [1, 11],
  ]);
  expect(values(untouched)).toStrictEqual([[6, 16]]);
});

describe("a re-tested path among the siblings of then", () => {
  it("has what it is off from them, less the change that its family has in common", () => {
    expect(rank({ "1": gain(-6), "2": gain(0.1), "3": gain(-0.1) })).toStrictEqual({
      "1/mic": { gain: -6 },
      "2/mic": {},
      "3/mic": {},
    });
    expect(rank({ "1": gain(-6), "2": gain(3.1), "3": gain(2.9) })).toStrictEqual({
      "1/mic": { gain: -9 },
      "2/mic": {},
      "3/mic": {},
    });
  });

  it("takes the change of one path for none in common", () => {
    expect(rank({ "1": gain(-6) })).toStrictEqual({ "1/mic": { gain: -6 } });
  });

  it("is judged by nothing that cannot be compared, or is in another unit", () => {
    const refused = (id: string) => (id === "gain" ? { code: "other-level" } : undefined);
    const conditions = { ...free, refused } as unknown as Conditions;
    const now = { "1": gain(-6), "2": gain(0.1), "3": gain(-0.1) };
    expect(rank(now, { conditions })["1/mic"]).toStrictEqual({});
    expect(rank({ ...now, "1": gain(-6, "%") })["1/mic"]).toStrictEqual({});
  });

  it("is judged by a reading that it did not have then", () => {
    const without = round(
      earlier.paths.map((one, k) => (k === 0 ? { ...one, readings: {} } : one)),
    );
    const now = { "1": gain(-6), "2": gain(0.1), "3": gain(-0.1) };
    expect(rank(now, { base: without })["1/mic"]).toStrictEqual({ gain: -6 });
  });

  it("keeps a reading of few values as it is", () => {
    const polarity = (value: number) => ({ readings: { polarity: reading(value, "", 0) } });
    const base = round(names.map((strip) => at(strip, polarity(1))));
    const now = rank({ "1": polarity(-1), "2": polarity(1), "3": polarity(1) }, { base });
    expect(Object.keys(now["1/mic"])).toStrictEqual(["polarity"]);
    // All were turned: each of them is a finding, and none is taken for a shift.
    const turned = rank({ "1": polarity(-1), "2": polarity(-1), "3": polarity(-1) }, { base });
    expect(Object.keys(turned["2/mic"])).toStrictEqual(["polarity"]);
  });

  it("that was not measured has no finding but that nothing came back", () => {
    const findings = ["return", "gain"].map((id) => ({ reading: id, deviation: -6 })) as never;
    const now = { "1": { status: "silent" as never, findings }, "2": gain(0.1), "3": gain(-0.1) };
    expect(rank(now)).toStrictEqual({ "1/mic": { return: -6 }, "2/mic": {}, "3/mic": {} });
  });

  it("is ranked if it was not measured then, but not if the round did not have it", () => {
    const lost = round(
      earlier.paths.map((one, k) => (k === 0 ? { ...one, status: "missing" } : one)),
    );
    const now = { "1": gain(-6), "2": gain(0.1), "3": gain(-0.1) };
    expect(rank(now, { base: lost })["1/mic"]).toStrictEqual({ gain: -6 });
    expect(rank({ ...now, "9": gain(-6) })["9/mic"]).toStrictEqual({});
  });
});

describe("a re-tested curve among the siblings of then", () => {
  const flat = hz.map(() => 0);
  const base = round(names.map((strip, k) => at(strip, curve(flat.map(() => off[k])))));
  /** Nothing at 1 kHz, and 9 dB less from 8 kHz on. */
  const dull = hz.map((one) => (one < 8000 ? 0 : -9));

  it("is shifted by what its family did at each frequency", () => {
    const now = { "1": curve(dull), "2": curve(dull), "3": curve(dull) };
    expect(rank(now, { base })).toStrictEqual({ "1/mic": {}, "2/mic": {}, "3/mic": {} });
    expect(rank({ ...now, "1": curve(flat) }, { base })["1/mic"]).toStrictEqual({ response: 9 });
  });

  it("is left out where it cannot be compared, or is in another unit", () => {
    const now = { "1": curve(dull), "2": curve(flat), "3": curve(flat) };
    expect(rank(now, { base })["1/mic"]).toStrictEqual({ response: -9 });
    const refused = (id: string) => (id === "response" ? { code: "other-level" } : undefined);
    const conditions = { ...free, refused } as unknown as Conditions;
    expect(rank(now, { base, conditions })["1/mic"]).toStrictEqual({});
    const inOther = { ...now, "1": curve(dull, "%") };
    expect(rank(inOther, { base })["1/mic"]).toStrictEqual({});
    const without = round(base.paths.map((one, k) => (k === 0 ? { ...one, curves: {} } : one)));
    expect(rank(now, { base: without })["1/mic"]).toStrictEqual({ response: -9 });
  });
});
