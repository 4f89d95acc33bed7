import { describe, expect, it } from "vitest";
import {
  buildInputCalibration,
  findDisagreement,
  findInterfaceFault,
} from "../../../src/measure/calibration/loopback.js";
import type { Measurement, Reading } from "../../../src/measure/types.js";
import { highPass1, magnitudeDb } from "../../helpers/analogue.js";
import { measurement, reading, response } from "../../helpers/families.js";

function plausible(change: Record<string, Reading> = {}, curve = response(() => 0)): Measurement {
  return measurement(
    {
      level: reading(-18.2, "dBFS", 0.001),
      polarity: { value: 1, unit: "", uncertainty: 0 },
      noise: reading(-103, "dBFS", 0.1),
      thd: reading(-104),
      thdHot: reading(-98),
      ...change,
    },
    { response: curve },
  );
}

describe("a loopback", () => {
  it("keeps that its word length set a figure, in one of several returns too", () => {
    const set = plausible({ noise: { ...reading(-93, "dBFS", 0.1), limitedBy: "interface" } });
    const known = { dbu: 4, uncertaintyDb: 0.1 };
    const { readings } = buildInputCalibration(
      0,
      [plausible({ noise: reading(-93, "dBFS", 0.1) }), set],
      known,
    );
    expect(readings.noise.limitedBy).toBe("interface");
    expect(readings.level).not.toHaveProperty("limitedBy");
  });

  it("of a plausible interface passes", () => {
    expect(findInterfaceFault(plausible())).toBeUndefined();
  });

  it("of an old or simple interface passes too", () => {
    // −2 dB at the ends of the band, 16 bits of noise, 0.1 % of distortion
    const poor = plausible(
      { noise: reading(-88, "dBFS"), thd: reading(-60) },
      response((hz) => magnitudeDb(highPass1(15)(hz))),
    );
    expect(findInterfaceFault(poor)).toBeUndefined();
  });

  it.each([
    [
      "a level that leaves no room",
      plausible({ level: reading(-3, "dBFS") }),
      { code: "level-out", dbfs: -3, is: "high" },
    ],
    [
      "a level near the noise",
      plausible({ level: reading(-60, "dBFS") }),
      { code: "level-out", dbfs: -60, is: "low" },
    ],
    [
      "the noise of a desk turned up",
      plausible({ noise: reading(-60, "dBFS") }),
      { code: "noisy", dbfs: -60, mostDbfs: -70 },
    ],
    [
      "a file without noise",
      plausible({ noise: reading(-141, "dBFS") }),
      { code: "too-quiet", dbfs: -141 },
    ],
    ["distortion", plausible({ thd: reading(-30) }), { code: "distorts", at: "nominal", db: -30 }],
    [
      "clipping before full scale",
      plausible({ thdHot: reading(-20) }),
      { code: "distorts", at: "hot", db: -20 },
    ],
    [
      "a response 20 dB down at 100 Hz",
      plausible(
        {},
        response((hz) => magnitudeDb(highPass1(1000)(hz)) + 0),
      ),
      {
        code: "odd-response",
        hz: 20,
        // first order: 10·lg(1/(1 + 50²)) − 10·lg(½)
        db: expect.closeTo(-30.97, 1),
        mostDb: 3,
      },
    ],
  ])("is refused for %s", (_, m, fault) => {
    expect(findInterfaceFault(m)).toEqual(fault);
  });

  it.each(["level", "noise"])("is refused without its %s", (id) => {
    const { [id]: _, ...readings } = plausible().readings;
    const absent = { [id]: { code: "converter-clipped" } } as const;
    const m: Measurement = { ...plausible(), readings: { ...readings }, absent };
    expect(findInterfaceFault(m)).toEqual({
      code: "not-read",
      what: id,
      because: { code: "converter-clipped" },
    });
  });

  it("is refused without its response", () => {
    expect(findInterfaceFault({ ...plausible(), curves: {} })).toEqual({
      code: "not-read",
      what: "response",
    });
  });
});

describe("several loopback returns", () => {
  it("agree within a tenth of a decibel", () => {
    const a = plausible({ level: reading(-18.2, "dBFS") });
    const b = plausible({ level: reading(-18.25, "dBFS") });
    expect(findDisagreement([a, b])).toBeUndefined();
    expect(findDisagreement([a])).toBeUndefined();
  });

  it.each([
    [
      plausible({ level: reading(-18.5, "dBFS") }),
      { code: "levels-differ", db: expect.closeTo(0.3, 9) },
    ],
    [plausible({ noise: reading(-90, "dBFS") }), { code: "noise-differs", db: 13 }],
    [
      plausible({ polarity: { value: -1, unit: "", uncertainty: 0 } }),
      { code: "polarities-differ" },
    ],
    [
      plausible(
        {},
        response((hz) => (hz > 10_000 ? -0.5 : 0)),
      ),
      { code: "responses-differ", db: 0.5, hz: expect.any(Number) },
    ],
  ])("disagree", (other, differ) => {
    expect(findDisagreement([plausible(), other])).toEqual(differ);
  });

  const known = { dbu: 4, uncertaintyDb: 0.1 };

  it("give the mean, and full scale from it", () => {
    const two = [-18, -18.001].map((db) => plausible({ level: reading(db, "dBFS", 0.002) }));
    const input = buildInputCalibration(1, two, known);
    expect(input).toMatchObject({ channel: 1, returns: 2 });
    expect(input.readings.level.value).toBeCloseTo(-18.0005, 6);
    expect(input.readings.level.uncertainty).toBeCloseTo(0.002 / Math.SQRT2, 6);
    expect(input.fullScale.value).toBeCloseTo(22.0005, 6);
    expect(input.fullScale.uncertainty).toBeCloseTo(0.1, 4);
  });

  it("widen the uncertainty by the Birge ratio where they scatter more than it allows", () => {
    // Birge 1932: each lies 0.02 dB from the mean, 20 of its own deviations of 0.001 dB, so that
    // χ²/(n − 1) = 800; its root times the mean's own 0.002/√2 dB is 0.04 dB
    const two = [-18, -18.04].map((db) => plausible({ level: reading(db, "dBFS", 0.002) }));
    expect(buildInputCalibration(0, two, known).readings.level.uncertainty).toBeCloseTo(0.04, 6);
  });

  it("average figures that the word length set: they are no bounds", () => {
    // the mean of −93 and −94 dBFS
    const set = (value: number) => ({ ...reading(value, "dBFS"), limitedBy: "interface" as const });
    const two = [-93, -94].map((value) => plausible({ hiss: set(value) }));
    const { hiss } = buildInputCalibration(0, two, known).readings;
    expect(hiss.value).toBeCloseTo(-93.5, 9);
    expect(hiss).not.toHaveProperty("bound");
  });

  it("keep the highest of bounds", () => {
    const bound: Reading = { ...reading(-120), limitedBy: "noise" };
    const input = buildInputCalibration(
      0,
      [plausible({ thd: bound }), plausible({ thd: { ...bound, value: -118 } })],
      known,
    );
    expect(input.readings.thd).toMatchObject({ value: -118, limitedBy: "noise" });
  });
});
