import { describe, expect, it } from "vitest";
import { findReturns } from "../../../src/capture/find/find-returns.js";
import { computeSlip } from "../../../src/capture/find/slip.js";
import { buildSignalTable } from "../../../src/signal/signal-table.js";
import { addNoise, addReturn, memoryReader, sineRms } from "../../helpers/captures.js";

// Expected values: the synthetic capture's own construction.

const rate = 48_000;

/** A return, late by half a second, from which the recorder left samples out or had them twice. */
function slipped(profile: "quick" | "standard", atS: number, samples: number, driftPpm: number) {
  const table = buildSignalTable(profile, "base");
  const whole = new Float64Array(Math.round((table.lengthS + 2) * rate));
  addReturn(whole, table, rate, 0.5 * rate, driftPpm, -0.4);
  addNoise(whole, sineRms(-55), 9);
  const at = Math.round((0.5 + atS) * rate);
  const heard = new Float64Array(whole.length + samples);
  heard.set(whole.subarray(0, at));
  heard.set(whole.subarray(at - Math.max(0, samples) + Math.max(0, -samples)), at);
  const reader = memoryReader([heard.subarray(0, whole.length + Math.min(0, samples))], rate);
  const { returns } = findReturns(reader);
  expect(returns).toHaveLength(1);
  expect(returns[0].slipSamples).toBeDefined();
  return computeSlip(reader, returns[0], table);
}

describe("a return at another speed", () => {
  it.each([1000, -1000, 2000, -600])("of %i ppm is told from lost or repeated samples", (ppm) => {
    // 1000 ppm: the pull of a rate for film or video, 48 000 against 47 952
    const slip = slipped("quick", 3, 0, ppm);
    expect(slip.samples).toBe(0);
    expect(slip.longerPpm).toBeCloseTo(ppm, 0);
  });
});

describe("samples that the recorder lost or repeated", () => {
  const quick = buildSignalTable("quick", "base").segments;
  const sweep = quick.find(({ kind }) => kind === "sweep");
  const tone = quick.find(({ name }) => name === "tone-1k");
  if (!sweep || !tone) throw new Error("no sweep, no tone");
  it.each([
    ["in the sweep", sweep.startS + 0.6 * sweep.lengthS, -512, 0],
    ["in the sweep, repeated", sweep.startS + 0.8 * sweep.lengthS, 480, 0],
    ["in the sweep, by a slow clock", sweep.startS + 0.5 * sweep.lengthS, -2048, -150],
    ["near the end of the tone", tone.startS + 0.9 * tone.lengthS, 1111, 80],
  ] as const)("%s are reported with their time", (_, atS, samples, driftPpm) => {
    const slip = slipped("quick", atS, samples, driftPpm);
    expect(Math.abs(slip.samples - samples)).toBeLessThanOrEqual(6);
    const [from, to] = slip.betweenS ?? [0, 0];
    expect(from).toBeLessThan(atS + 0.03);
    expect(to).toBeGreaterThan(atS - 0.03);
    expect(to - from).toBeLessThan(0.5);
  });

  // A jump within the tone must not pass for another clock, wherever it lies in it and whether it
  // turns the phase a little (100 samples are 2.08 periods at 48 kHz), a lot or not at all.
  it.each([
    [0.06, -100, 0],
    [0.25, -256, 0],
    [0.36, -100, -30],
    [0.5, -100, 0],
    [0.52, 130, -60],
    [0.64, -480, 20],
    [0.86, 260, 0],
  ] as const)("are told at %d of the 1 kHz tone (%i samples, %i ppm)", (share, samples, ppm) => {
    const atS = tone.startS + share * tone.lengthS;
    const slip = slipped("quick", atS, samples, ppm);
    expect(Math.abs(slip.samples - samples)).toBeLessThanOrEqual(3);
    const [from, to] = slip.betweenS ?? [0, 0];
    expect(from).toBeLessThan(atS);
    expect(to).toBeGreaterThan(atS);
  });

  it("are told to a hundredth of a second where they turn the tone", () => {
    const atS = tone.startS + 0.4 * tone.lengthS;
    const { betweenS: [from, to] = [0, 0] } = slipped("quick", atS, -100, 0);
    expect(from).toBeLessThan(atS);
    expect(to).toBeGreaterThan(atS);
    expect(to - from).toBeLessThan(0.03);
  });
});
