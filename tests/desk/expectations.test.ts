import { describe, expect, it } from "vitest";
import {
  defaultExpectations,
  expectationGrounds,
  parseExpectations,
} from "../../src/desk/expectations.js";

describe("parseExpectations", () => {
  it("reads levels, shares and bands in their units over the built-in ones", () => {
    const { expectations, faults } = parseExpectations({
      hum: "-70 dBu",
      band: "40 Hz - 15 kHz",
      distortion: "0.1 %",
    });
    expect(faults).toEqual([]);
    // 20·lg(0.001) = −60 dB
    expect(expectations).toEqual({
      ...defaultExpectations,
      hum: { value: -70, unit: "dBu" },
      band: [40, 15_000],
      distortionDb: expect.closeTo(-60, 9),
    });
  });

  it("names what is in impossible units", () => {
    const { faults } = parseExpectations({ hum: "-70 Hz", headroom: "12 %", band: "20 dB" });
    expect(faults).toEqual(["hum", "headroom", "band"]);
  });

  it.each([
    { hum: "400 dBu" },
    { noise: "-900 dB" },
    { noise: "10 dB" },
    { band: "20 kHz - 20 Hz" },
    { band: "20 Hz - 900 kHz" },
    { distortion: "150 %" },
    { headroom: "-3 dB" },
    { level: "500 dB" },
  ])("names a value that cannot be: %o", (written) => {
    expect(parseExpectations(written).faults).toEqual(Object.keys(written));
  });

  it("explains each built-in value as it is", () => {
    const written = Object.fromEntries(
      expectationGrounds.map(({ key, builtIn }) => [key, builtIn]),
    );
    const { expectations, faults } = parseExpectations(written);
    expect(faults).toEqual([]);
    expect(expectations).toEqual({
      ...defaultExpectations,
      distortionDb: expect.closeTo(defaultExpectations.distortionDb, 9),
      overloadDb: expect.closeTo(defaultExpectations.overloadDb, 9),
    });
  });
});
