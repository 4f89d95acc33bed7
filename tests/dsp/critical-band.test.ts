import { describe, expect, it } from "vitest";
import { computeCriticalBandwidth, computeMaskingIndex } from "../../src/dsp/critical-band.js";

describe("critical bands", () => {
  // E. Zwicker, "Subdivision of the audible frequency range into critical bands
  // (Frequenzgruppen)", J. Acoust. Soc. Am. 33, 1961: centre and width; from memory. The formula
  // keeps to it within 10 % (Zwicker, Terhardt 1980).
  it.each([
    [150, 100],
    [250, 100],
    [450, 110],
    [1000, 160],
    [1850, 280],
    [2900, 450],
    [4000, 700],
    [5800, 1100],
    [8500, 1800],
    [10_500, 2500],
  ])("are as wide as in the table at %d Hz", (hz, width) => {
    expect(Math.abs(computeCriticalBandwidth(hz) / width - 1)).toBeLessThan(0.1);
  });
});

describe("the masking index", () => {
  it("is 2 dB below the band's noise at low frequency, and 2.3 dB at the formula's corner", () => {
    expect(computeMaskingIndex(10)).toBeCloseTo(-2, 2);
    // −2 − lg 2
    expect(computeMaskingIndex(502)).toBeCloseTo(-2.30103, 4);
  });

  it("falls by 2.5 dB a decade far above it", () => {
    expect(computeMaskingIndex(5e6) - computeMaskingIndex(5e5)).toBeCloseTo(-2.5, 3);
  });
});
