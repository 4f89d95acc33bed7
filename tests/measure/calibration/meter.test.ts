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

  it("may be just as low or high as any, and what is beyond is told with the limit", () => {
    // Full scale of an output: −14 to 30 dBu; a tone 18 dB below has √0.6 V at 12 dB more or −32.
    const most = Math.sqrt(0.6) * 10 ** (12 / 20);
    const least = Math.sqrt(0.6) * 10 ** (-32 / 20);
    expect([0.999 * most, 1.001 * least].map((volts) => validateOutputVolts(volts, -18))).toEqual([
      undefined,
      undefined,
    ]);
    expect(validateOutputVolts(1.001 * most, -18)).toBe(
      "no interface gives more than 3.1 V with the tone at −18 dBFS",
    );
    expect(validateOutputVolts(0.999 * least, -18)).toBe(
      "an output turned up gives more than 0.019 V with the tone at −18 dBFS",
    );
    for (const none of [validateOutputVolts(0, -18), validateInputVolts(0, 1)]) {
      expect(none).toBe("a voltage r.m.s. is more than 0 V");
    }
    // Two meters may differ by 5 %.
    expect(validateInputVolts(1.05, 1)).toBeUndefined();
    expect(validateInputVolts(1.051, 1)).toBeDefined();
    expect([-75, 34].map(validateInputScale)).toEqual([undefined, undefined]);
    expect(validateInputScale(-75.1)).toMatch(/^full scale of the input would be −75.1 dBu/);
    expect(validateInputScale(34.1)).toMatch(/34.1 dBu; interfaces have −75 to 34 dBu$/);
  });

  it("is as unsure as its per cent of it", () => {
    expect(computeMeteredVolts({ volts: 1.5, stepVolts: 0 }, 2).uncertainty).toBeCloseTo(0.03, 12);
  });
});
