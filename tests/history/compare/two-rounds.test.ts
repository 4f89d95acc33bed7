import { describe, expect, it } from "vitest";
import { compareRounds } from "../../../src/history/compare/compare.js";
import { createReferenceSideReader } from "../../../src/history/compare/reference-side.js";
import type { MeasuredReferenceTurn, Round } from "../../../src/history/types.js";
import type { Curve } from "../../../src/measure/types.js";
import { reading } from "../../helpers/families.js";
import { family, type Given, path, round } from "../rounds-of.js";

// Rounds of few paths, whose figures are told apart by hand.

const noise = (db: number) => ({ noise: reading(db, "dBFS", 0.1) });
const names = (now: Round, then: Round) =>
  compareRounds(now, then).paths.map((one) => [one.path, one.state]);

describe("which paths two rounds are compared by", () => {
  const both = ["1/mic", "2/mic"].map((name) => path(name));
  const first = [path("1/mic")];
  const partial = { partial: { wanted: ["1/mic"] } };

  it("are those of either, and those asked for where one is partial", () => {
    expect(names(round("2031-01-01", both), round("2030-01-01", first))).toEqual([
      ["1/mic", "steady"],
      ["2/mic", "no-partner"],
    ]);
    expect(names(round("2031-01-01", both), round("2030-01-01", first, partial))).toEqual([
      ["1/mic", "steady"],
    ]);
    expect(names(round("2031-01-01", first), round("2030-01-01", both))).toEqual([
      ["1/mic", "steady"],
      ["2/mic", "no-partner"],
    ]);
    expect(names(round("2031-01-01", first, partial), round("2030-01-01", both))).toEqual([
      ["1/mic", "steady"],
    ]);
  });

  it("lie days apart, whatever the hour", () => {
    const at = (date: string) => round("2030-01-11", both, { id: "2030-01-11-01", date });
    const then = round("2030-01-01", both, { date: "2030-01-01T09:00:00.000Z" });
    expect(compareRounds(at("2030-01-11T08:00:00.000Z"), then).days).toBe(10);
    expect(compareRounds(at("2030-01-11T22:00:00.000Z"), then).days).toBe(11);
  });
});

describe("two sides of a bus", () => {
  const sides = (left: number, right: number): Given => ({
    readings: noise(left),
    partner: {
      side: "right",
      readings: noise(right),
      absent: {},
      curves: {},
    } as unknown as NonNullable<Given["partner"]>,
  });
  const of = (left: number, right: number) =>
    compareRounds(
      round(
        "2031-01-01",
        family(6, (k) => (k === 0 ? sides(left, right) : sides(-90, -95))),
      ),
      round(
        "2030-01-01",
        family(6, () => sides(-90, -95)),
      ),
    ).paths;

  it("are compared each with its own siblings", () => {
    const [odd, other] = of(-90, -80);
    expect(odd.readings).toMatchObject([{ reading: "noise", own: 0, real: false }]);
    expect(odd.partner?.readings).toMatchObject([{ reading: "noise", own: 15, real: true }]);
    expect(other.partner?.readings).toMatchObject([{ reading: "noise", own: 0, real: false }]);
  });

  it("are one where a path was recorded in mono", () => {
    const mono = round("2031-01-01", [path("1/mic", { readings: noise(-90) })]);
    const [found] = compareRounds(mono, round("2030-01-01", mono.paths)).paths;
    expect(found).not.toHaveProperty("partner");
  });
});

describe("the reference path beside a curve that rose", () => {
  const take = { file: "a.wav", channel: 0, startSample: 0, driftPpm: 0 };
  const of = (id: string, yUnit: "dB" | "dBFS", change: number, y: readonly [number, number]) => {
    const curve = (db: number): Curve => ({
      x: [1000],
      y: [db],
      uncertainty: [0.1],
      xUnit: "Hz",
      yUnit,
    });
    const at = (day: string, own: number, usual: number) => {
      const turns: MeasuredReferenceTurn[] = [
        {
          turn: "first",
          status: "measured",
          take,
          readings: {},
          absent: {},
          curves: { [id]: curve(own) },
        },
      ];
      return round(
        day,
        family(3, () => ({ curves: { [id]: curve(usual) } })),
        { reference: { name: "reference", into: "bus", turns } },
      );
    };
    const read = createReferenceSideReader(
      at("2030-01-01", y[0], -100 - change),
      at("2031-01-01", y[1], -100),
    );
    return read?.({ reading: id, atHz: 1000, families: ["mic"], change });
  };

  it("of noise adds up by its power", () => {
    // The paths rose by 10 dB to −100: 0.9 of that power. From −120 to −104 dB 0.388 were added, 43 %.
    expect(of("noise", "dBFS", 10, [-120, -104])).toBe("shows");
    // 10^-1.5 − 10^-2: 2 %, though it rose by half of the decibels.
    expect(of("noise", "dBFS", 10, [-120, -115])).toBe("clean");
  });

  it("of a response goes by decibels", () => {
    expect(of("response", "dB", 10, [0, 5])).toBe("partly");
    expect(of("response", "dB", 10, [0, 6])).toBe("shows");
    expect(of("response", "dB", 10, [0, 2])).toBe("clean");
  });
});

describe("what the reference path says of what all did", () => {
  const take = { file: "a.wav", channel: 0, startSample: 0, driftPpm: 0 };
  const of = (day: string, gain: number, own: number | undefined) =>
    round(
      day,
      family(6, () => ({ readings: { gain: reading(gain) } })),
      own === undefined
        ? {}
        : {
            reference: {
              name: "reference",
              into: "bus",
              turns: [
                {
                  turn: "first",
                  status: "measured",
                  take,
                  readings: { gain: reading(own) },
                  absent: {},
                  curves: {},
                },
              ],
            },
          },
    );
  const sideOf = (own: readonly [number | undefined, number | undefined]) =>
    compareRounds(of("2031-01-01", 3, own[1]), of("2030-01-01", 0, own[0])).shifts[0];

  it("stands beside the change, and nothing where a round has no such path", () => {
    expect(sideOf([0, 3])).toMatchObject({ reading: "gain", shift: 3, reference: "shows" });
    expect(sideOf([0, 0])).toMatchObject({ reading: "gain", shift: 3, reference: "clean" });
    expect(sideOf([0, undefined])).not.toHaveProperty("reference");
    expect(sideOf([undefined, undefined])).not.toHaveProperty("reference");
  });
});
