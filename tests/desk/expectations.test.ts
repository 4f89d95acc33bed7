import { describe, expect, it } from "vitest";
import { defaultExpectations, parseExpectations } from "../../src/desk/expectations.js";

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
});
