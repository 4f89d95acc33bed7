import { expect, test } from "vitest";
import {
  arrangeRounds,
  buildSeries,
  fromScale,
  toScale,
} from "../../../src/history/trend/series.js";
import type { Round } from "../../../src/history/types.js";
import { reading } from "../../helpers/families.js";
import { path, round } from "../rounds-of.js";

// Expected: worked by hand.

const ageing = (scale: "logarithm" | "against-tone" | "plain", id = "hiss") =>
  ({ reading: id, scale, wants: "parts" }) as Parameters<typeof buildSeries>[1];

test("values go onto the scale of their ageing and back", () => {
  for (const scale of ["logarithm", "against-tone", "plain"] as const) {
    expect(fromScale(toScale(40, 7, ageing(scale)), 7, ageing(scale))).toBeCloseTo(40, 12);
  }
  expect(toScale(Math.E ** 3, 7, ageing("logarithm"))).toBeCloseTo(3, 12);
  expect(toScale(-80, -3, ageing("against-tone"))).toBe(-77);
  expect(toScale(-80, -3, ageing("plain"))).toBe(-80);
});

const at = (day: string, given: Parameters<typeof path>[1], more: Partial<Round> = {}) =>
  round(day, [path("1/mic", given)], { date: `${day}T12:00:00.000Z`, ...more });
const hiss = (value: number, more: object = {}) => ({
  readings: { hiss: { ...reading(value, "dBFS"), ...more }, gain: reading(2) },
});
const points = (
  rounds: readonly Round[],
  scale: "plain" | "logarithm" | "against-tone" = "plain",
) =>
  buildSeries(
    arrangeRounds(
      rounds,
      rounds.map((_, k) => (k < 1 ? 0 : 1)),
    ),
    ageing(scale),
  )[0].points;

test("a series is counted in years back from the last round", () => {
  const found = points([at("2030-01-01", hiss(-90)), at("2034-01-01", hiss(-86))]);
  expect(found).toEqual([
    { round: 0, years: -4, y: -90, epoch: 0 },
    { round: 1, years: 0, y: -86, epoch: 1 },
  ]);
  expect(points([at("2030-01-01", hiss(-90))], "against-tone")[0].y).toBe(-92);
});

test("the paths of the last whole round are followed, and of the last of all where none is whole", () => {
  const partial = { wanted: ["1/mic"] };
  const both = (day: string, more: Partial<Round>) =>
    round(day, [path("1/mic", hiss(-90)), path("2/mic", hiss(-90))], more);
  const followed = (...rounds: readonly Round[]) =>
    arrangeRounds(
      rounds,
      rounds.map(() => 0),
    ).followed.map(({ path: name }) => name);
  const one = at("2034-01-01", hiss(-86), { partial });
  expect(followed(both("2030-01-01", {}), one)).toEqual(["1/mic", "2/mic"]);
  expect(followed(both("2030-01-01", { partial }), one)).toEqual(["1/mic"]);
});

test("what noise hid, what is in another unit and what was not measured has no point", () => {
  const last = at("2034-01-01", hiss(-86));
  const rounds = (given: Parameters<typeof path>[1]) => points([at("2030-01-01", given), last]);
  expect(rounds(hiss(-90))).toHaveLength(2);
  expect(rounds(hiss(-90, { bound: "upper" }))).toHaveLength(1);
  expect(rounds(hiss(-90, { limitedBy: "noise" }))).toHaveLength(1);
  expect(rounds(hiss(-90, { unit: "dBu" }))).toHaveLength(1);
  expect(rounds({ ...hiss(-90), status: "unusable" })).toHaveLength(1);
  expect(rounds({})).toHaveLength(1);
  // a logarithm of nothing is no point either
  expect(points([at("2030-01-01", hiss(-90)), last], "logarithm")).toEqual([]);
});

test("the paths are those of the last whole round, as they were when last measured", () => {
  const whole = at("2032-01-01", hiss(-88));
  const partial = round("2034-01-01", [], {
    date: "2034-01-01T12:00:00.000Z",
    partial: { wanted: ["2/mic"] },
  });
  expect(points([at("2030-01-01", hiss(-90)), whole, partial]).map(({ y }) => y)).toEqual([
    -90, -88,
  ]);
  const dead = at("2034-01-01", { status: "missing" });
  const [series] = buildSeries(arrangeRounds([whole, dead], [0, 0]), ageing("plain"));
  expect(series.path.readings.hiss.value).toBe(-88);
  expect(series.points).toHaveLength(1);
});

test("a strip that got new parts starts again on that day", () => {
  const rounds = [
    at("2030-01-01", hiss(-80)),
    at("2032-01-01", hiss(-90)),
    at("2034-01-01", hiss(-89)),
  ];
  const years = (renewed?: ReadonlyMap<string, string>) =>
    buildSeries(arrangeRounds(rounds, [0, 0, 0], renewed), ageing("plain"))[0].points.map(
      ({ y }) => y,
    );
  expect(years()).toEqual([-80, -90, -89]);
  expect(years(new Map([["1", "2031-05-01T12:00:00.000Z"]]))).toEqual([-90, -89]);
  expect(years(new Map([["2", "2031-05-01T12:00:00.000Z"]]))).toEqual([-80, -90, -89]);
  expect(years(new Map([["1", "2035-01-01T12:00:00.000Z"]]))).toEqual([]);
});

test("new parts count from the very moment on that they are said to be in", () => {
  const rounds = [
    at("2030-01-01", hiss(-90)),
    at("2032-01-01", hiss(-88)),
    at("2034-01-01", hiss(-86)),
  ];
  const from = (day: string) => {
    const arranged = arrangeRounds(rounds, [0, 0, 0], new Map([["1", day]]));
    return buildSeries(arranged, ageing("plain"))[0].points.map(({ round: k }) => k);
  };
  expect(from(rounds[1].date)).toEqual([1, 2]);
  expect(from("2032-01-02")).toEqual([2]);
  expect(from("2029-01-01")).toEqual([0, 1, 2]);
});
