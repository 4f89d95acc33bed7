import { describe, expect, it } from "vitest";
import { voltsToDbu } from "../../src/dsp/dbu.js";
import { computeThermalNoiseV } from "../../src/dsp/thermal-noise.js";
import { computeEquivalentInputNoise } from "../../src/measure/readings/ein.js";
import type { Reading } from "../../src/measure/types.js";
import { assertMade } from "../helpers/made.js";
import levels from "../reference/levels.json" with { type: "json" };

describe("thermal noise", () => {
  it.each(levels.thermalNoise)(
    "of $ohm ohms at $kelvin K in $bandwidthHz Hz is $dbu dBu",
    ({ ohm, kelvin, bandwidthHz, dbu }) => {
      // tests/reference/levels.json: √(4kTRB), k of the SI of 2019
      expect(voltsToDbu(computeThermalNoiseV(ohm, bandwidthHz, kelvin))).toBeCloseTo(dbu, 3);
    },
  );
});

describe("equivalent input noise", () => {
  const dbfs = (value: number): Reading => ({ value, unit: "dBFS", uncertainty: 0.1 });
  const input = {
    channel: 0,
    returns: 1,
    fullScale: { value: 22, unit: "dBu", uncertainty: 0.1 },
    readings: {},
    curves: {},
  };
  const fed = { input, socketDbu: -40, socketDb: 0.08, sourceOhm: 150 };

  it("is the noise less the level, from the level at the socket", () => {
    // closed form: a tone of −40 dBu at the socket comes back 85 dB above the noise: −125 dBu
    const ein = computeEquivalentInputNoise({ noise20k: dbfs(-103), level: dbfs(-18) }, fed);
    assertMade(ein);
    expect(ein.value).toBeCloseTo(-125, 9);
    // JCGM 100, 5.1.2: the interface's scale is in both and cancels
    expect(ein.uncertainty).toBeCloseTo(Math.hypot(0.1, 0.1, 0.08), 9);
    expect(ein.common).toBeCloseTo(0.08, 9);
  });

  it("is not believed below the thermal noise of its source", () => {
    // closed form: 150 ohms in 20 Hz to 20 kHz, −130.918 + 10·log10(19980/20000) = −130.92 dBu
    const readings = { noise20k: dbfs(-113), level: dbfs(-18) };
    const refused = computeEquivalentInputNoise(readings, fed);
    expect(refused).toMatchObject({ absent: { code: "below-thermal-noise", sourceOhm: 150 } });
    // −135 dBu against −130.92 dBu
    expect(refused).toMatchObject({ absent: { belowDb: expect.closeTo(4.08, 2) } });
    expect(computeEquivalentInputNoise(readings, { ...fed, sourceOhm: 50 })).toMatchObject({
      value: -135,
    });
  });

  it("is undefined without a source, and absent with its reason without noise or level", () => {
    const { sourceOhm: _, ...unknown } = fed;
    expect(
      computeEquivalentInputNoise({ noise20k: dbfs(-103), level: dbfs(-18) }, unknown),
    ).toBeUndefined();
    expect(computeEquivalentInputNoise({ level: dbfs(-18) }, fed)).toEqual({
      absent: { code: "without-noise" },
    });
    expect(computeEquivalentInputNoise({ noise20k: dbfs(-18) }, fed)).toEqual({
      absent: { code: "without-level" },
    });
  });
});
