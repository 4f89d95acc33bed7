import { describe, expect, it } from "vitest";
import {
  amplitudeToDb,
  dbPerNeper,
  dbPerPowerShare,
  dbToAmplitude,
  dbToPower,
  powerToDb,
} from "../../src/dsp/decibels.js";

// Source: ISO 80000-3: a level difference is 20·lg of a ratio of field quantities and 10·lg of a
// ratio of powers; 1 Np = 8.685889638 dB.
describe("decibels", () => {
  it("are 20 to a factor of ten in amplitude, 10 in power", () => {
    expect(amplitudeToDb(10)).toBeCloseTo(20, 12);
    expect(amplitudeToDb(0.001)).toBeCloseTo(-60, 12);
    expect(amplitudeToDb(2)).toBeCloseTo(6.0206, 4);
    expect(powerToDb(10)).toBeCloseTo(10, 12);
    expect(powerToDb(0.5)).toBeCloseTo(-3.0103, 4);
  });

  it("are undone by the ratio that they stand for", () => {
    expect(dbToAmplitude(-6.0206)).toBeCloseTo(0.5, 6);
    expect(dbToAmplitude(40)).toBeCloseTo(100, 9);
    expect(dbToPower(-3.0103)).toBeCloseTo(0.5, 6);
    expect(dbToPower(40)).toBeCloseTo(10_000, 6);
  });

  it("are minus infinity of nothing", () => {
    expect([amplitudeToDb(0), powerToDb(0)]).toEqual([-Infinity, -Infinity]);
    expect(dbToAmplitude(-Infinity)).toBe(0);
  });

  it("are 8.685889638 to a neper", () => {
    expect(dbPerNeper).toBeCloseTo(8.685889638, 9);
    // so that 0.1 % of an amplitude is 0.0087 dB
    expect(amplitudeToDb(1.001)).toBeCloseTo(0.001 * dbPerNeper, 5);
  });

  it("are half as many for a small change of power as for one of amplitude", () => {
    expect(powerToDb(1.001)).toBeCloseTo(0.001 * dbPerPowerShare, 5);
    expect(dbPerPowerShare).toBeCloseTo(4.342944819, 9);
  });
});
