import { describe, expect, it } from "vitest";
import { instability, instability100 } from "../../src/measure/readings/instability.js";
import { createReturnContext } from "../../src/measure/return-context.js";
import type { Reading } from "../../src/measure/types.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { addNoise, addReturn } from "../helpers/captures.js";
import { assertMade } from "../helpers/made.js";
import { gaussian } from "../helpers/noise.js";
import { slow } from "../helpers/slow.js";

const rate = 48_000;
const table = buildSignalTable("quick", "base");
const tone = table.segments.find((s) => s.name === "tone-1k");
const startS = tone?.startS ?? 0;

/** Reads a tone whose level is multiplied by a function of the seconds since its start. */
function read(gain: (t: number) => number, noiseRms: number, seed = 1, hum = 0): Reading {
  const samples = new Float64Array(Math.round((table.lengthS + 0.2) * rate));
  addReturn(samples, table, rate, 4800);
  samples.forEach((x, n) => {
    const mains = hum * Math.sin((2 * Math.PI * 49.9 * n) / rate);
    samples[n] = x * gain((n - 4800) / rate - startS) + mains;
  });
  addNoise(samples, noiseRms, seed);
  const audio = { samples, origin: 4800, clock: rate, sampleRate: rate, table, mainsHz: 50 };
  const reading = instability.read(createReturnContext(audio));
  assertMade(reading);
  return reading;
}

/** R.m.s. of a slow sine of the level: depth/√2, in decibels to first order. */
const closed = (depth: number) => ((20 / Math.LN10) * depth) / Math.SQRT2;

describe("instability", () => {
  it("reads a slow wandering of the level", () => {
    // closed form: a sine of relative depth d has an r.m.s. of d/√2; 20 ms pieces of 5 Hz lose
    // 1 − sinc(0.1), less than 2 %, and a fraction of a period at the ends up to 5 %
    for (const depth of [0.002, 0.02]) {
      const { value } = read((t) => 1 + depth * Math.sin(2 * Math.PI * 5 * t), 1e-5);
      expect(Math.abs(value / closed(depth) - 1)).toBeLessThan(0.07);
    }
  });

  it("counts a dip as the decibels that it is", () => {
    // 100 ms at half the level: 5 of the 30 pieces of the quick tone lie 6.02 dB lower, closed form
    const { value } = read((t) => (t >= 0.28 && t < 0.38 ? 0.5 : 1), 1e-6);
    const share = 5 / 30;
    const expected = 6.0206 * Math.sqrt((share * (1 - share) * 30) / 29);
    expect(Math.abs(value / expected - 1)).toBeLessThan(0.03);
  });

  it("is at most the noise's own share for a steady tone", () => {
    const reading = read(() => 1, 1e-4);
    expect(reading).toMatchObject({ limitedBy: "noise", bound: "upper" });
    expect(reading.value).toBeLessThan(0.01);
  });

  it("does not take hum of twice the tone for a wavering level", () => {
    expect(read(() => 1, 1e-5, 1, 0.25)).toMatchObject({ bound: "upper" });
  });

  it("takes the noise's share off", () => {
    // the noise alone makes √(2σ²/960)/a = 0.0032 of the amplitude's 0.126 in each piece
    const depth = 0.006;
    const { value, uncertainty } = read((t) => 1 + depth * Math.sin(2 * Math.PI * 5 * t), 9e-3);
    expect(Math.abs(value - closed(depth))).toBeLessThan(1.5 * uncertainty);
  });

  it("holds the truth in about 95 of 100 intervals", slow, () => {
    // closed form as above with a whole number of periods; 95 ± 3 · 2.8 of 60 by the binomial
    // distribution
    const draw = gaussian(21);
    const runs = 60;
    let held = 0;
    for (let k = 0; k < runs; k++) {
      const depth = 0.004 * (1 + Math.abs(draw()));
      // 0.605 s from 0.08 s on hold three periods
      const wander = (t: number) => Math.sin((2 * Math.PI * 3 * (t - 0.08)) / 0.6);
      const { value, uncertainty } = read((t) => 1 + depth * wander(t), 6e-3, 300 + k);
      const pieces = Math.sin(Math.PI * 0.1) / (Math.PI * 0.1);
      if (Math.abs(value - pieces * closed(depth)) <= uncertainty) held++;
    }
    expect(held / runs).toBeGreaterThan(0.86);
  });
});

describe("instability of the 100 Hz tone", () => {
  const standard = buildSignalTable("standard", "base");
  const low = standard.segments.find((s) => s.name === "tone-100");

  function readLow(gain: (t: number) => number): Reading {
    const samples = new Float64Array(Math.round((standard.lengthS + 0.2) * rate));
    addReturn(samples, standard, rate, 4800);
    samples.forEach((x, n) => {
      samples[n] = x * gain((n - 4800) / rate - (low?.startS ?? 0));
    });
    addNoise(samples, 1e-5, 3);
    const audio = {
      samples,
      origin: 4800,
      clock: rate,
      sampleRate: rate,
      table: standard,
      mainsHz: 50,
    };
    const reading = instability100.read(createReturnContext(audio));
    assertMade(reading);
    return reading;
  }

  it("sees a contact that opens during it alone", () => {
    // 100 ms of 1 s lie 1 dB lower: 2 of the 18 pieces of 50 ms between 80 ms and 985 ms; closed form
    const { value, bound } = readLow((t) => (t >= 0.38 && t < 0.48 ? 10 ** (-1 / 20) : 1));
    const share = 2 / 18;
    const expected = Math.sqrt((share * (1 - share) * 18) / 17);
    expect(bound).toBeUndefined();
    expect(Math.abs(value / expected - 1)).toBeLessThan(0.05);
  });

  it("is a bound for a steady tone", () => {
    expect(readLow(() => 1)).toMatchObject({ bound: "upper" });
  });
});
