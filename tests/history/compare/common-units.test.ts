import { describe, expect, it } from "vitest";
import { getAbsence } from "../../../src/history/absences.js";
import { bringTogether, toUncalibrated } from "../../../src/history/compare/common-units.js";
import type { Round } from "../../../src/history/types.js";
import type { Curve, Reading } from "../../../src/measure/types.js";
import { path, round } from "../rounds-of.js";

const of = (value: number, unit: string, uncertainty = 0.1): Reading => ({
  value,
  unit,
  uncertainty,
});
const curve = (y: readonly number[], yUnit: string, floor?: readonly number[]): Curve => ({
  x: [100, 1000],
  y,
  uncertainty: [0.1, 0.1],
  xUnit: "Hz",
  yUnit,
  ...(floor === undefined ? {} : { floor }),
});
const take = { file: "a.wav", channel: 0, startSample: 0, driftPpm: 0 };
/** At input 1 full scale is 22 dBu, at input 2 20 dBu. */
const calibration = {
  inputs: [
    { channel: 0, returns: 1, fullScale: of(22, "dBu"), readings: {}, curves: {} },
    { channel: 1, returns: 1, fullScale: of(20, "dBu"), readings: {}, curves: {} },
  ],
} as never;
const readings = {
  level: { ...of(4, "dBu", Math.hypot(0.3, 0.4)), common: 0.4 },
  gain: of(44, "dB"),
  ein: of(-125, "dBu"),
  thd: of(-80, "dB"),
};

const calibrated = (more: Partial<Round> = {}, at: Partial<typeof take> = {}): Round =>
  round(
    "2031-01-01",
    [
      path("1/mic", {
        take: { ...take, ...at },
        readings,
        curves: { noise: curve([-90, -100], "dBu", [-110, -110]), response: curve([1, 0], "dB") },
      }),
    ],
    { calibration, ...more },
  );

describe("a calibrated round in dBFS", () => {
  const [{ readings: made, curves }] = toUncalibrated(calibrated()).paths;

  it("has its levels as they were recorded, without the calibration's doubt", () => {
    // 4 dBu − 22 dB; √(0.3² + 0.4²) without the 0.4 that all share
    expect(made.level).toEqual({ value: -18, unit: "dBFS", uncertainty: expect.closeTo(0.3, 9) });
  });

  it("has its gain against what was sent, −18 dBFS, known as well as the level", () => {
    expect(made.gain).toEqual({ value: 0, unit: "dB", uncertainty: expect.closeTo(0.3, 9) });
  });

  it("leaves what is in dBu on its own, and what is no level", () => {
    expect(made.ein).toEqual(readings.ein);
    expect(made.thd).toEqual(readings.thd);
  });

  it("has its curves of levels likewise, with their floors", () => {
    expect(curves.noise).toMatchObject({
      y: [-112, -122],
      floor: [-132, -132],
      yUnit: "dBFS",
    });
    expect(curves.response).toEqual(curve([1, 0], "dB"));
  });

  it("has curves without a floor still without one", () => {
    const bare = calibrated();
    const [one] = bare.paths;
    const noise = curve([-90, -100], "dBu");
    const [{ curves: back }] = toUncalibrated({
      ...bare,
      paths: [{ ...one, curves: { noise } }],
    }).paths;
    expect(back.noise).not.toHaveProperty("floor");
    expect(back.noise.y).toEqual([-112, -122]);
  });

  it("keeps a level without a gain, and a gain without a level, as they are", () => {
    const bare = calibrated();
    const [one] = bare.paths;
    const only = (kept: Record<string, Reading>) =>
      toUncalibrated({ ...bare, paths: [{ ...one, readings: kept }] }).paths[0].readings;
    expect(only({ level: readings.level })).toEqual({
      level: { value: -18, unit: "dBFS", uncertainty: expect.closeTo(0.3, 9) },
    });
    expect(only({ gain: readings.gain })).toEqual({ gain: readings.gain });
  });

  it("reads the second side and other takes by their own inputs", () => {
    const bare = calibrated({}, {});
    const [one] = bare.paths;
    const side = { side: "right" as const, readings, absent: {}, curves: {} };
    const [both] = toUncalibrated({
      ...bare,
      paths: [
        {
          ...one,
          take: { ...take, partnerChannel: 1 },
          partner: side,
          otherTakes: [{ ...take, number: 1, status: "measured", readings }],
        },
      ],
    }).paths;
    expect(both.partner?.readings.level.value).toBe(-16);
    expect(both.otherTakes?.[0].readings.level.value).toBe(-18);
  });

  it("leaves a gain out that an input gave which is not calibrated, with the reason", () => {
    const [strange] = toUncalibrated(calibrated({}, { channel: 5 })).paths;
    expect(strange.readings).not.toHaveProperty("gain");
    expect(strange.readings.level).toEqual(readings.level);
    expect(strange.readings.thd).toEqual(readings.thd);
    expect(getAbsence(strange, "gain")).toEqual({ code: "input-not-calibrated" });
    expect(getAbsence(strange, "level")).toBeUndefined();
  });

  it("has its reference path likewise", () => {
    const turn = { turn: "first", status: "measured", take, readings, absent: {}, curves: {} };
    const reference = { name: "reference", into: "bus", turns: [turn] } as const;
    const back = toUncalibrated(calibrated({ reference: reference as never }));
    expect(back.reference?.turns[0].readings.level.value).toBe(-18);
    const stray = { ...turn, take: { ...take, channel: 5 } };
    const lost = toUncalibrated(
      calibrated({ reference: { ...reference, turns: [stray] } as never }),
    );
    expect(lost.reference?.turns[0].readings).not.toHaveProperty("gain");
    expect(toUncalibrated(calibrated())).not.toHaveProperty("reference");
  });
});

describe("two rounds brought together", () => {
  it("turn phases to within half a turn of what they were", () => {
    const phase = (value: number) => ({ readings: { stereoPhase: of(value, "°") } });
    const then = round("2030-01-01", [path("1/mic", phase(179)), path("2/mic", phase(10))]);
    const now = round("2031-01-01", [path("1/mic", phase(-178)), path("2/mic", phase(12))]);
    const { later } = bringTogether(then, now);
    expect(later.paths.map((one) => one.readings.stereoPhase.value)).toEqual([182, 12]);
  });

  it("stay as they are where both are calibrated, or neither is", () => {
    const both = bringTogether(calibrated(), calibrated());
    expect(both.conditions).toEqual([]);
    expect(both.later.paths[0].readings.level.unit).toBe("dBu");
    const neither = bringTogether(
      calibrated({ calibration: null }),
      calibrated({ calibration: null }),
    );
    expect(neither.conditions).toEqual([]);
  });

  it("are in dBFS where one is calibrated, whichever it is", () => {
    const plain = calibrated({ calibration: null });
    const first = bringTogether(calibrated(), plain);
    expect(first.earlier.paths[0].readings.level.unit).toBe("dBFS");
    expect(first.conditions).toEqual([{ code: "one-calibrated", round: "2031-01-01-01" }]);
    const second = bringTogether(plain, calibrated());
    expect(second.later.paths[0].readings.level.unit).toBe("dBFS");
  });
});
