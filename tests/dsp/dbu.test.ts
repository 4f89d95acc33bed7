import { describe, expect, it } from "vitest";
import { voltsToDbu, zeroDbuVolts } from "../../src/dsp/dbu.js";

describe("dBu", () => {
  it("begins at 1 mW in 600 Ω", () => {
    // source: IEC 60268-17: 0.775 V; closed form U = √(P·R)
    expect(zeroDbuVolts).toBeCloseTo(Math.sqrt(0.001 * 600), 12);
    expect(zeroDbuVolts).toBeCloseTo(0.775, 3);
    expect(voltsToDbu(zeroDbuVolts)).toBeCloseTo(0, 12);
  });

  it.each([
    // common practice: +4 dBu is 1.228 V, 0 dBV is +2.218 dBu, +20 dBu is 7.746 V
    [1.228, 4],
    [1, 2.218],
    [7.746, 20],
    [0.000775, -60],
  ])("%d V is %d dBu", (volts, dbu) => {
    expect(voltsToDbu(volts)).toBeCloseTo(dbu, 2);
  });
});
