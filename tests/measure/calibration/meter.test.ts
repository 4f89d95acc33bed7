import { describe, expect, it } from "vitest";
import { voltsToDbu } from "../../../src/dsp/dbu.js";
import {
  computeKnownLevel,
  computeMeteredVolts,
  validateInputScale,
  validateInputVolts,
  validateOutputVolts,
} from "../../../src/measure/calibration/meter.js";
import levels from "../../reference/levels.json" with { type: "json" };

describe("a meter's reading", () => {
  it("is a level over the square root of 0.6 V", () => {
    // tests/reference/levels.json: IEC 60268-17 and trade use
    expect(voltsToDbu(levels.dbuReferenceVolts)).toBeCloseTo(0, 12);
    expect(voltsToDbu(levels.plus4dbuVolts)).toBeCloseTo(4, 3);
  });

  it("carries the meter's uncertainty and that of its last digit in quadrature", () => {
    // JCGM 100: a digit of 0.01 V is even over its width, deviation 0.01/√12, doubled 5.77 mV
    const { value, uncertainty } = computeMeteredVolts({ volts: 1.23, stepVolts: 0.01 }, 1);
    expect(value).toBe(1.23);
    expect(uncertainty).toBeCloseTo(Math.hypot(0.0123, 0.0057735), 6);
  });

  it("of 1 % is a level known to 0.086 dB", () => {
    // closed form: 20·log10(1.01) = 0.0864
    const level = computeKnownLevel(computeMeteredVolts({ volts: 1.228, stepVolts: 0 }, 1));
    expect(level.uncertaintyDb).toBeCloseTo(0.0864, 4);
    expect(level.dbu).toBeCloseTo(4.0025, 3);
  });

  it.each([0, -1.2, Number.NaN, 100, 1228, 4, 0.001_228, 0.01])("cannot be %s V", (volts) => {
    expect(validateOutputVolts(volts, -18)).toBeDefined();
  });

  it.each([0.0775, 0.3, 0.775, 1.228, 1.55, 2.4])("may be %s V", (volts) => {
    expect(validateOutputVolts(volts, -18)).toBeUndefined();
  });

  it("is no more at the input than at the output", () => {
    expect(validateInputVolts(1.228, 1.228)).toBeUndefined();
    expect(validateInputVolts(0.0077, 1.228)).toBeUndefined();
    expect(validateInputVolts(2, 1.228)).toMatch(/no more than the output/);
    expect(validateInputVolts(0, 1.228)).toBeDefined();
  });

  it("fits an input whose full scale lies where inputs have theirs", () => {
    expect(validateInputScale(20)).toBeUndefined();
    expect(validateInputScale(-50)).toBeUndefined();
    expect(validateInputScale(40)).toMatch(/40 dBu/);
    expect(validateInputScale(-90)).toMatch(/−90 dBu/);
  });
});
