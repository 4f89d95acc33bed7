import { describe, expect, it } from "vitest";
import { findReturns } from "../../../src/capture/find/find-returns.js";
import { buildSignalTable, profiles } from "../../../src/signal/signal-table.js";
import { addNoise, addReturn, memoryReader, sineRms } from "../../helpers/captures.js";
import { gaussian } from "../../helpers/noise.js";
import { joinSamples } from "../../helpers/samples.js";
import { slow } from "../../helpers/slow.js";

// Expected values: the synthetic capture's own construction (exact times of a drifted clock).

const quick = buildSignalTable("quick", "base");

/** First-order high-pass (bilinear transform of s/(s + ω)), corner in cycles per sample. */
function highPassed(samples: Float64Array, corner: number): void {
  const k = Math.tan(Math.PI * corner);
  let before = 0;
  let out = 0;
  for (let n = 0; n < samples.length; n++) {
    out = (samples[n] - before + (1 - k) * out) / (1 + k);
    before = samples[n];
    samples[n] = out;
  }
}

describe("findReturns", () => {
  it("places returns within a sample and the clock within 0.1 ppm at 10 dB signal-to-noise over ±200 ppm", () => {
    const rate = 48_000;
    [-200, -73.21, 0, 0.4, 120.6, 200].forEach((driftPpm, k) => {
      const capture = new Float64Array(Math.round(7.5 * rate));
      const at = 20_000.37 + 1234.567 * k;
      addReturn(capture, quick, rate, at, driftPpm);
      addNoise(capture, sineRms(-28), 100 + k);
      const found = findReturns(memoryReader([capture], rate));
      expect(found.returns).toHaveLength(1);
      expect(Math.abs(found.returns[0].startSample - at)).toBeLessThan(0.2);
      expect(Math.abs(found.returns[0].driftPpm - driftPpm)).toBeLessThan(0.1);
      expect(found.returns[0].inverted).toBe(false);
    });
  });

  for (const [profile, rate, how] of [
    ["quick", 44_100, {}],
    ["quick", 48_000, slow],
    ["standard", 48_000, slow],
    ["quick", 96_000, slow],
  ] as const) {
    it(
      `is not misled by a thin path that turns the markers' phase (${profile}, ${rate} Hz)`,
      how,
      () => {
        // One first-order high-pass, as of a dried coupling capacitor, turns 5 kHz by 11 to 54 degrees,
        // a chain of two by up to 109; corners, clocks and places drawn anew for each rate.
        const next = gaussian(rate + profile.length);
        const table = buildSignalTable(profile, rate > 80_000 ? "wide" : "base");
        for (let k = 0; k < 12; k++) {
          const cornerHz = 1000 * 7 ** Math.abs(Math.sin(7 * next()));
          const driftPpm = 200 * Math.sin(9 * next());
          const at = (0.5 + 0.2 * Math.abs(Math.sin(next()))) * rate;
          const capture = new Float64Array(Math.round((table.lengthS + 1.5) * rate));
          addReturn(capture, table, rate, at, driftPpm, k % 3 === 0 ? -0.8 : 0.8);
          for (let times = 0; times <= k % 2; times++) highPassed(capture, cornerHz / rate);
          addNoise(capture, sineRms(-75), 60 + k);
          const found = findReturns(memoryReader([capture], rate));
          expect(found.cuts).toEqual([]);
          expect(found.returns).toHaveLength(1);
          const [one] = found.returns;
          expect(one.slipSamples).toBeUndefined();
          expect(Math.abs(one.driftPpm - driftPpm)).toBeLessThan(0.1);
          // Half a turn of the chirp's middle, 5.25 kHz, and the group delay of two such filters, at the
          // most 1/(2π·5.25 kHz): 95 + 30 µs.
          expect(Math.abs(one.startSample - at) / rate).toBeLessThan(1.25e-4);
        }
      },
    );
  }

  it("tells the kind of signal from the markers at every sample rate", () => {
    for (const rate of [44_100, 48_000, 88_200, 96_000, 176_400, 192_000]) {
      for (const profile of profiles.filter(
        (p) => p === "quick" || (p === "standard" && rate < 1e5),
      )) {
        const band = rate > 80_000 ? "wide" : "base";
        const table = buildSignalTable(profile, band);
        const capture = new Float64Array(Math.round((table.lengthS + 1) * rate));
        addReturn(capture, table, rate, 0.5 * rate + 0.25);
        const found = findReturns(memoryReader([capture], rate));
        expect(found.returns).toHaveLength(1);
        expect(found.returns[0]).toMatchObject({ profile, band });
        expect(found.returns[0].startSample).toBeCloseTo(0.5 * rate + 0.25, 2);
      }
    }
  });

  it("finds quiet and inverted returns with pauses of any length between them", () => {
    const rate = 48_000;
    const capture = new Float64Array(30 * rate);
    const starts = [0.0, 6.2, 14.9, 22.0].map((s) => s * rate + 0.5);
    const gains = [1, -1, -0.008, 0.5];
    starts.forEach((at, k) => {
      addReturn(capture, quick, rate, at, 15, gains[k]);
    });
    addNoise(capture, sineRms(-72), 7);
    const found = findReturns(memoryReader([capture], rate));
    expect(found.returns.map((r) => Math.round(r.startSample * 10) / 10)).toEqual(
      starts.map((s) => Math.round(s * 10) / 10),
    );
    expect(found.returns.map((r) => r.inverted)).toEqual([false, true, true, false]);
    expect(found.returns[2].gain).toBeCloseTo(0.008, 3);
  });

  for (const [rate, how] of [
    [44_100, {}],
    [48_000, slow],
    [96_000, slow],
  ] as const) {
    it(`finds returns at −60 dBFS and driven 30 dB into clipping, at ${rate} Hz`, how, () => {
      // The tones of the signal lie at −18 dBFS: −42 dB brings them to −60, +30 dB far beyond the top.
      const gains = [10 ** (-42 / 20), -(10 ** (-42 / 20)), 10 ** (30 / 20), -(10 ** (12 / 20))];
      gains.forEach((gain, k) => {
        const capture = new Float64Array(8 * rate);
        const at = 0.7 * rate + 0.31 + 97 * k;
        const band = rate > 80_000 ? "wide" : "base";
        addReturn(capture, buildSignalTable("quick", band), rate, at, -90 + 60 * k, gain);
        addNoise(capture, sineRms(-70), 40 + k);
        for (let n = 0; n < capture.length; n++) {
          capture[n] = Math.max(-1, Math.min(1 - 2 ** -23, capture[n]));
        }
        const found = findReturns(memoryReader([capture], rate));
        expect(found.returns).toHaveLength(1);
        const [one] = found.returns;
        expect(one.inverted).toBe(gain < 0);
        expect(one.slipSamples).toBeUndefined();
        expect(Math.abs(one.startSample - at)).toBeLessThan(0.2);
      });
    });
  }

  it("finds nothing in noise, tones, a lone sweep or silence, and says what was heard", () => {
    const rate = 48_000;
    const noise = new Float64Array(20 * rate);
    addNoise(noise, 0.1, 3);
    const found = findReturns(memoryReader([noise], rate));
    expect(found.returns).toHaveLength(0);
    expect(found.cuts).toHaveLength(0);
    expect(found.heard[0].rms).toBeCloseTo(0.1, 3);
    const sweepOnly = new Float64Array(8 * rate);
    addReturn(
      sweepOnly,
      { ...quick, segments: quick.segments.filter((s) => s.kind !== "marker") },
      rate,
      999,
    );
    expect(findReturns(memoryReader([sweepOnly], rate)).returns).toHaveLength(0);
    const silence = new Float64Array(2 * rate);
    const quiet = findReturns(memoryReader([silence], rate));
    expect(quiet.returns).toHaveLength(0);
    expect(quiet.heard[0].peak).toBe(0);
  });

  it("reports a return whose beginning or end is not in the capture", () => {
    const rate = 48_000;
    const capture = new Float64Array(20 * rate);
    addReturn(capture, quick, rate, -2 * rate);
    addReturn(capture, quick, rate, 5 * rate);
    addReturn(capture, quick, rate, 17 * rate);
    addNoise(capture, 1e-4, 11);
    const found = findReturns(memoryReader([capture], rate));
    expect(found.returns).toHaveLength(1);
    expect(found.cuts.map((c) => c.missing)).toEqual(["start", "end"]);
  });

  it("reports one without its middle, or with a part of it twice, and by how much", () => {
    const rate = 48_000;
    const whole = new Float64Array(8 * rate);
    addReturn(whole, quick, rate, 0.5 * rate);
    addNoise(whole, 1e-4, 12);
    const jumping = (fromS: number, toS: number) =>
      findReturns(
        memoryReader(
          [joinSamples(whole.subarray(0, fromS * rate), whole.subarray(toS * rate))],
          rate,
        ),
      );
    for (const [fromS, toS] of [
      [3, 4],
      [2, 5.2],
      [4, 2.5],
    ]) {
      const { returns, cuts } = jumping(fromS, toS);
      expect(returns).toEqual([]);
      expect(cuts.map(({ missing }) => missing)).toEqual(["middle"]);
      expect(Math.abs((cuts[0].slipSamples ?? 0) - (fromS - toS) * rate)).toBeLessThanOrEqual(2);
    }
  });

  it("tells a dropout between the markers from a clock", () => {
    const rate = 48_000;
    const whole = new Float64Array(8 * rate);
    addReturn(whole, quick, rate, 0.5 * rate);
    const cut = joinSamples(whole.subarray(0, 4 * rate), whole.subarray(4 * rate + 480));
    const found = findReturns(memoryReader([cut], rate));
    expect(found.returns).toHaveLength(1);
    expect(found.returns[0].slipSamples).toBe(-480);
  });
});
