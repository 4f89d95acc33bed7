import { describe, expect, test } from "vitest";
import { curveKinds } from "../../../src/measure/curve-kinds.js";
import { readingKinds } from "../../../src/measure/reading-kinds.js";
import type { Curve, Reading } from "../../../src/measure/types.js";
import {
  floorHum,
  getSharedLeast,
  isSameMechanism,
  linesOf,
  rows,
} from "../../../src/rank/shared/rows.js";
import { measurement, reading } from "../../helpers/families.js";

function rowOf(id: string, atHz?: number) {
  const found = rows.find((one) => one.reading === id && one.atHz === atHz);
  if (found === undefined) throw new Error(id);
  return found;
}
const path = (readings: Record<string, Reading>, curves: Record<string, Curve> = {}) => ({
  path: "1/mic",
  family: "mic",
  measurement: measurement(readings, curves),
});
const bare = { path: "1/mic", family: "mic" };
/** As powers, 0 dB twice is 3.01 dB. */
const addUp = (...db: readonly number[]) =>
  10 * Math.log10(db.reduce((sum, one) => sum + 10 ** (one / 10), 0));

test("rows stand in the order of their facets, silence before all", () => {
  const orders = new Map<string, number>([["return", -1]]);
  for (const { id, shared } of [...readingKinds, ...curveKinds]) {
    if (shared !== undefined) orders.set(id, shared.order);
  }
  const own = rows.map((row) => orders.get(row.reading));
  expect(own).toStrictEqual([...own].sort((a = 0, b = 0) => a - b));
  expect(own[0]).toBe(-1);
});

test("a curve gives one row for each of its points, with its facets", () => {
  const shared = curveKinds.find(({ id }) => id === "response")?.shared;
  const own = rows.filter((row) => row.reading === "response");
  expect(own.map(({ atHz, aspect }) => ({ atHz, aspect }))).toStrictEqual(shared?.points);
  for (const { scatter, least, unit, harm, isBound } of own) {
    expect({ scatter, least, unit, harm }).toStrictEqual({
      scatter: shared?.scatter,
      least: shared?.least,
      unit: "dB",
      harm: "both",
    });
    expect(isBound(bare)).toBe(false);
  }
});

describe("a row of readings", () => {
  const hiss = rowOf("hiss");

  test("reads the next of its group where the first is missing", () => {
    const [first, next] = [reading(-90, "dBFS"), reading(-95, "dBFS")];
    expect(hiss.read(path({ hiss: first, noiseA: next }))).toBe(-90);
    expect(hiss.read(path({ noiseA: next }))).toBe(-95);
    expect(hiss.read(path({ gain: first }))).toBeUndefined();
    expect(hiss.read(bare)).toBeUndefined();
  });

  test("tells a bound from a value", () => {
    const bound = { ...reading(-90, "dBFS"), bound: "upper" as const };
    expect(hiss.isBound(path({ hiss: bound }))).toBe(true);
    expect(hiss.isBound(path({ hiss: reading(-90) }))).toBe(false);
    expect(hiss.isBound(bare)).toBe(false);
  });

  test("compares in decibels, save what has no unit", () => {
    expect(hiss.unit).toBe("dB");
    expect(rowOf("gain").unit).toBe("dB");
    expect(rowOf("polarity").unit).toBe("");
  });
});

describe("a row of mains lines", () => {
  test.each([
    ["humOdd", 10],
    ["humEven", 18],
  ])("%s has a floor %d dB below the hiss", (id, below) => {
    const row = rowOf(id);
    const hum = reading(-100, "dBFS");
    expect(row.read(path({ [id]: hum, hiss: reading(-90, "dBFS") }))).toBeCloseTo(
      addUp(-100, -90 - below),
      9,
    );
    expect(row.readPlain?.(path({ [id]: hum, hiss: reading(-90, "dBFS") }))).toBe(-100);
    expect(row.read(path({ [id]: hum }))).toBe(-100);
    expect(row.read(path({ hiss: reading(-90, "dBFS") }))).toBeUndefined();
    expect(row.read(bare)).toBeUndefined();
  });

  test("are named by their aspect alone", () => {
    expect(linesOf({ aspect: "hum-odd" })).toBe("odd");
    expect(linesOf({ aspect: "hum-even" })).toBe("even");
    expect(linesOf({ aspect: "noise" })).toBeUndefined();
    expect(rowOf("hiss").readPlain).toBeUndefined();
    expect(floorHum(-100, -82, "even")).toBeCloseTo(addUp(-100, -100), 9);
  });
});

describe("a row of a curve", () => {
  const { read } = rowOf("response", 110);
  const curve = (x: readonly number[]) =>
    path(
      {},
      {
        response: {
          x,
          y: x.map((_, k) => 2 ** k),
          uncertainty: x.map(() => 0.1),
          xUnit: "Hz",
          yUnit: "dB",
        },
      },
    );
  const sixth = 2 ** (1 / 6);

  test("is the mean of a sixth of an octave to either side, its borders included", () => {
    expect(read(curve([110]))).toBe(1);
    expect(read(curve([110 / sixth, 110, 110 * sixth]))).toBeCloseTo((1 + 2 + 4) / 3, 12);
    expect(read(curve([109 / sixth, 110, 111 * sixth]))).toBe(2);
    expect(read(curve([100, 120]))).toBe(1.5);
  });

  test("has no value where no point lies there, or nothing was measured", () => {
    expect(read(curve([50, 200]))).toBeUndefined();
    expect(read(path({}))).toBeUndefined();
    expect(read(bare)).toBeUndefined();
  });
});

test("silence is that of a path of which nothing came back, and not loud sound in its place", () => {
  const { read } = rowOf("return");
  const unheard = { code: "digital-silence" } as const;
  const loud = { levelDbfs: -10, crestDb: 12, clippedShare: 0 };
  expect(read({ ...bare, unheard })).toBe(1);
  expect(read({ ...bare, unheard, loud })).toBeUndefined();
  expect(read(path({}))).toBe(0);
  expect(read(bare)).toBeUndefined();
});

test.each([
  ["hum-odd", "hum-even", true],
  ["level", "treble", true],
  ["clipping", "distortion", true],
  ["noise", "noise", true],
  // One that none of the mechanisms names is the same as itself.
  ["dead", "dead", true],
  ["dead", "level", false],
  ["bass", "treble", false],
  ["polarity", "noise", false],
] as const)("%s and %s may come from one fault: %s", (a, b, expected) => {
  expect(isSameMechanism(a, b)).toBe(expected);
});

test("the least that matters is a reading's own, or that of the first row of its aspect", () => {
  const facetOf = (id: string) => readingKinds.find((kind) => kind.id === id)?.shared?.least;
  expect(getSharedLeast("compression", "clipping")).toBe(facetOf("compression"));
  expect(getSharedLeast("headroom", "clipping")).toBe(facetOf("headroom"));
  expect(getSharedLeast("strayTone", "noise")).toBe(facetOf("strayTone"));
  expect(getSharedLeast("noiseA", "noise")).toBe(facetOf("hiss"));
  expect(getSharedLeast("none", "clipping")).toBe(facetOf("thdHot"));
});
