import { describe, expect, it } from "vitest";
import { createReferenceSideReader } from "../../../src/history/compare/reference-side.js";
import type { MeasuredReferenceTurn, Round, RoundReference } from "../../../src/history/types.js";
import type { Curve, Reading } from "../../../src/measure/types.js";
import { path, round } from "../rounds-of.js";

const take = { file: "a.wav", channel: 0, startSample: 0, driftPpm: 0 };
const of = (value: number, unit = "dB"): Reading => ({ value, unit, uncertainty: 0.01 });

function turn(
  readings: Record<string, Reading>,
  curves: Record<string, Curve> = {},
  more: Partial<MeasuredReferenceTurn> = {},
): MeasuredReferenceTurn {
  return { turn: "first", status: "measured", take, readings, absent: {}, curves, ...more };
}

function withReference(
  day: string,
  turns: readonly MeasuredReferenceTurn[],
  noise = -80,
  into: RoundReference["into"] = "bus",
): Round {
  const paths = ["1/mic", "2/mic", "3/mic"].map((name) =>
    path(name, { readings: { noise: of(noise, "dBFS") } }),
  );
  return round(day, paths, { reference: { name: "reference", into, turns } });
}

/** What a change of the mic paths is said to be, by the reference's reading then and now. */
function side(
  reading: string,
  change: number,
  [then, now]: readonly [number, number],
  unit = "dB",
): unknown {
  const read = createReferenceSideReader(
    withReference("2030-01-01", [turn({ [reading]: of(then, unit) })]),
    withReference("2031-01-01", [turn({ [reading]: of(now, unit) })]),
  );
  return read?.({ reading, families: ["mic"], change });
}

describe("the reference path beside a change of the level", () => {
  it("shows it from 60 % of it on, does not up to 25 %, and in part between", () => {
    expect(side("gain", 2, [0, 2])).toBe("shows");
    expect(side("gain", 2, [0, 1.2])).toBe("shows");
    expect(side("gain", 2, [0, 1.1])).toBe("partly");
    expect(side("gain", 2, [0, 0.6])).toBe("partly");
    expect(side("gain", 2, [0, 0.5])).toBe("clean");
    expect(side("gain", -2, [0, -2])).toBe("shows");
    expect(side("gain", -2, [0, 2])).toBe("clean");
  });

  it("says nothing where nothing changed, or the units differ, or a turn lacks it", () => {
    expect(side("gain", 0, [0, 1])).toBeUndefined();
    const then = withReference("2030-01-01", [turn({ level: of(-18, "dBFS") })]);
    const now = withReference("2031-01-01", [turn({ level: of(4, "dBu") })]);
    const read = createReferenceSideReader(then, now);
    expect(read?.({ reading: "level", families: ["mic"], change: 2 })).toBeUndefined();
    expect(read?.({ reading: "gain", families: ["mic"], change: 2 })).toBeUndefined();
  });

  it("says nothing about a corner, which is no level", () => {
    expect(side("cornerLow", 5, [10, 15], "Hz")).toBeUndefined();
  });
});

describe("the reference path beside noise that rose by 10 dB to −80 dBFS", () => {
  // Of the power now, 1 − 1/10 = 0.9 were added.
  it.each([
    // 10^-0.4 − 10^-2 = 0.388; of 0.9: 43 %
    [-100, -84, "shows"],
    // 10^-0.8 − 10^-2 = 0.148; of 0.9: 16 %
    [-100, -88, "partly"],
    // 10^-1.5 − 10^-2 = 0.0216; of 0.9: 2 %
    [-100, -95, "clean"],
  ] as const)("that went from %i to %i dBFS: %s", (then, now, expected) => {
    expect(side("noise", 10, [then, now], "dBFS")).toBe(expected);
  });

  it("is compared with decibels where it fell", () => {
    expect(side("noise", -10, [-80, -87], "dBFS")).toBe("shows");
    expect(side("noise", -10, [-80, -82], "dBFS")).toBe("clean");
  });

  it("says nothing about families without the reading", () => {
    const read = createReferenceSideReader(
      withReference("2030-01-01", [turn({ noise: of(-100, "dBFS") })]),
      withReference("2031-01-01", [turn({ noise: of(-84, "dBFS") })]),
    );
    expect(read?.({ reading: "noise", families: ["line"], change: 10 })).toBeUndefined();
  });
});

describe("the reference path's curves", () => {
  const response = (y: readonly number[]): Curve => ({
    x: [20, 1000, 10_000],
    y,
    uncertainty: [0.1, 0.1, 0.1],
    xUnit: "Hz",
    yUnit: "dB",
  });
  const read = createReferenceSideReader(
    withReference("2030-01-01", [turn({}, { response: response([0, 0, 0]) })]),
    withReference("2031-01-01", [turn({}, { response: response([-3, 0, -0.1]) })]),
  );
  const at = (atHz: number, change: number) =>
    read?.({ reading: "response", atHz, families: ["mic"], change });

  it("are read at the point that lies nearest, within a seventh", () => {
    expect(at(20, -3)).toBe("shows");
    expect(at(22, -3)).toBe("shows");
    expect(at(10_000, -3)).toBe("clean");
    // ln(25/20) = 0.22
    expect(at(25, -3)).toBeUndefined();
  });

  it("say nothing if there are none", () => {
    expect(read?.({ reading: "noise", atHz: 1000, families: ["mic"], change: 3 })).toBeUndefined();
  });
});

describe("two rounds", () => {
  const measured = [turn({ gain: of(0) })];

  it("say nothing of it where one has no reference path, or it entered elsewhere", () => {
    const plain = round("2030-01-01", []);
    const first = withReference("2030-01-01", measured);
    const later = withReference("2031-01-01", measured);
    expect(createReferenceSideReader(plain, later)).toBeUndefined();
    expect(createReferenceSideReader(first, round("2031-01-01", []))).toBeUndefined();
    const insert = withReference("2031-01-01", measured, -80, "insert");
    expect(createReferenceSideReader(first, insert)).toBeUndefined();
    expect(createReferenceSideReader(first, later)).toBeDefined();
  });

  it("take the last turn where the first was not measured", () => {
    const lost = turn({ gain: of(-60) }, {}, { status: "unusable" });
    const later = withReference("2031-01-01", [lost, turn({ gain: of(2) }, {}, { turn: "last" })]);
    const read = createReferenceSideReader(withReference("2030-01-01", measured), later);
    expect(read?.({ reading: "gain", families: ["mic"], change: 2 })).toBe("shows");
  });
});
