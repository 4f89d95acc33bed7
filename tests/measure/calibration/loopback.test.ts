import { describe, expect, it } from "vitest";
import {
  buildInputCalibration,
  validateAgreement,
  validateInterface,
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
  it("of a plausible interface passes", () => {
    expect(validateInterface(plausible())).toBeUndefined();
  });

  it("of an old or simple interface passes too", () => {
    // −2 dB at the ends of the band, 16 bits of noise, 0.1 % of distortion
    const poor = plausible(
      { noise: reading(-88, "dBFS"), thd: reading(-60) },
      response((hz) => magnitudeDb(highPass1(15)(hz))),
    );
    expect(validateInterface(poor)).toBeUndefined();
  });

  it.each([
    ["a level that leaves no room", plausible({ level: reading(-3, "dBFS") }), /no room/],
    ["a level near the noise", plausible({ level: reading(-60, "dBFS") }), /too little above/],
    ["the noise of a desk turned up", plausible({ noise: reading(-60, "dBFS") }), /noise is −60/],
    [
      "a file without noise",
      plausible({ noise: reading(-141, "dBFS") }),
      /never left the computer/,
    ],
    ["distortion", plausible({ thd: reading(-30) }), /at nominal level is −30.0 dB/],
    ["clipping before full scale", plausible({ thdHot: reading(-20) }), /12 dB above nominal/],
    [
      "a response 20 dB down at 100 Hz",
      plausible(
        {},
        response((hz) => magnitudeDb(highPass1(1000)(hz)) + 0),
      ),
      /its response at 20 Hz is −31/,
    ],
  ])("is refused for %s", (_, m, words) => {
    expect(validateInterface(m)).toMatch(words);
  });

  it.each(["level", "noise"])("is refused without its %s", (id) => {
    const { [id]: _, ...readings } = plausible().readings;
    const m = { ...plausible(), readings, absent: { [id]: "the converter clipped" } };
    expect(validateInterface(m)).toMatch(new RegExp(`its ${id} could not be read: the converter`));
  });

  it("is refused without its response", () => {
    expect(validateInterface({ ...plausible(), curves: {} })).toMatch(/the signal has no sweep/);
  });
});

describe("several loopback returns", () => {
  it("agree within a tenth of a decibel", () => {
    const a = plausible({ level: reading(-18.2, "dBFS") });
    const b = plausible({ level: reading(-18.25, "dBFS") });
    expect(validateAgreement([a, b])).toBeUndefined();
    expect(validateAgreement([a])).toBeUndefined();
  });

  it.each([
    [plausible({ level: reading(-18.5, "dBFS") }), /levels differ by 0.30 dB/],
    [plausible({ noise: reading(-90, "dBFS") }), /noise differs by 13.0 dB/],
    [plausible({ polarity: { value: -1, unit: "", uncertainty: 0 } }), /inverted/],
    [
      plausible(
        {},
        response((hz) => (hz > 10_000 ? -0.5 : 0)),
      ),
      /responses differ by 0.50 dB at 1\d+ Hz/,
    ],
  ])("disagree in words", (other, words) => {
    expect(validateAgreement([plausible(), other])).toMatch(words);
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
