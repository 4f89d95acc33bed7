import { describe, expect, test } from "vitest";
import { virtualDesk } from "../../src/simulate/desk.js";
import { createRng } from "../../src/simulate/rng.js";
import { dirtyJack } from "../../src/simulate/stages/jack.js";
import { leakage, leakedV } from "../../src/simulate/stages/leakage.js";
import { legGains } from "../../src/simulate/stages/legs.js";
import { wiper } from "../../src/simulate/stages/wiper.js";
import type { Stage } from "../../src/simulate/types.js";
import { decibel } from "./tone.js";

const sampleRate = 8000;
const blockLength = 2000;

/** What stages make of so many seconds of one voltage. */
function fed(stages: readonly Stage[], volts: number, lengthS: number): Float64Array {
  const out = new Float64Array(lengthS * sampleRate).fill(volts);
  for (let at = 0; at < out.length; at += blockLength) {
    for (const stage of stages) stage(out.subarray(at, at + blockLength));
  }
  return out;
}

const mean = (samples: Float64Array) => samples.reduce((sum, x) => sum + x, 0) / samples.length;
const least = (samples: Float64Array) => samples.reduce((a, b) => Math.min(a, b));
const most = (samples: Float64Array) => samples.reduce((a, b) => Math.max(a, b));

/**
 * Goals are even in 0 to 1 and hold for exponentially long times, so the mean of n of them is 0.5
 * with a standard deviation of √(1/12)·√(2/n).
 */
const ofMean = (n: number) => Math.sqrt(1 / 12) * Math.sqrt(2 / n);

describe("a wiper on a worn track", () => {
  test("takes away between none and its depth of the gain, half of it in the mean", () => {
    const out = fed(wiper({ depth: 0.2, crackleV: 0 }, createRng("a"), sampleRate), 1, 200);
    expect(least(out)).toBeGreaterThan(0.8);
    expect(most(out)).toBeLessThanOrEqual(1);
    // 6 moves a second for 200 s; five standard deviations.
    expect(Math.abs(mean(out) - 0.9)).toBeLessThan(0.2 * 5 * ofMean(1200));
  });

  test("crackles when nothing plays", () => {
    const out = fed(wiper({ depth: 0.2, crackleV: 0.01 }, createRng("b"), sampleRate), 0, 20);
    expect(most(out)).toBeGreaterThan(0.005);
    expect(most(out)).toBeLessThanOrEqual(0.01);
  });

  test("that is sound is no stage at all", () => {
    expect(wiper({ depth: 0, crackleV: 0 }, createRng("c"), sampleRate)).toEqual([]);
  });
});

describe("a leaking coupling capacitor", () => {
  test("divides its polarising voltage with the load", () => {
    // Ohm's law: 4 V over 30 kΩ and 10 kΩ in series leaves 1 V.
    expect(leakedV({ ohm: 30_000, biasV: 4 }, 10_000)).toBeCloseTo(1, 12);
    expect(leakedV({ ohm: Number.POSITIVE_INFINITY, biasV: 4 }, 10_000)).toBe(0);
  });

  test("leaves that voltage and noise of 30 µV in each decade per volt", () => {
    const values = { ohm: 10_000, biasV: 4 };
    const stages = leakage(values, 10_000, createRng("d"), sampleRate, blockLength);
    const out = fed(stages, 0, 20);
    expect(mean(out)).toBeCloseTo(2, 3);
    const window = 800;
    let power = 0;
    for (let at = 0; at < out.length; at += window) {
      for (let bin = 10; bin < 100; bin++) power += density(out.subarray(at, at + window), bin);
    }
    const rms = Math.sqrt((power * 10) / (out.length / window));
    // 2 V · 30 µV/V, 100 Hz to 1 kHz; the approximated slope ripples by 0.3 dB.
    expect(Math.abs(decibel(rms / 60e-6))).toBeLessThan(0.6);
  });

  /** V²/Hz at a bin of a Hann window, whose sum of squares is 3/8. */
  function density(samples: Float64Array, bin: number): number {
    const n = samples.length;
    let re = 0;
    let im = 0;
    for (let i = 0; i < n; i++) {
      const turn = (2 * Math.PI * i) / n;
      const w = 0.5 - 0.5 * Math.cos(turn);
      re += w * samples[i] * Math.cos(bin * turn);
      im += w * samples[i] * Math.sin(bin * turn);
    }
    return (2 * (re * re + im * im)) / ((3 / 8) * n * sampleRate);
  }
});

describe("a dirty jack", () => {
  const options = { seed: 3, strips: 1, inputs: ["line"], mainsHz: 50 as const, faults: [] };
  const path = virtualDesk(options).paths["1/line"];
  const clean = legGains(path);
  const worn = legGains({ ...path, hot: { ...path.hot, contactOhm: 50_000 } });
  const quiet = { commonV: 0, differentialV: 0, hum: () => undefined };

  test("passes between the level of both legs and that with its contact at its worst", () => {
    const stage = dirtyJack({ clean, worn, filmV: 0 }, quiet, createRng("e"), 8000, blockLength);
    const out = fed([stage], 1, 100);
    expect(most(out)).toBeLessThanOrEqual(clean.differential);
    expect(least(out)).toBeGreaterThan(worn.differential);
    const span = clean.differential - worn.differential;
    // 4 moves a second for 100 s; five standard deviations.
    const middle = (clean.differential + worn.differential) / 2;
    expect(Math.abs(mean(out) - middle)).toBeLessThan(span * 5 * ofMean(400));
  });

  test("lets in more of what both legs share, the worse it is", () => {
    const hum: Stage = (block) => block.fill(1);
    const gathered = { commonV: 1, differentialV: 0, hum };
    const stage = dirtyJack({ clean, worn, filmV: 0 }, gathered, createRng("f"), 8000, blockLength);
    const out = fed([stage], 0, 20).map(Math.abs);
    expect(most(out)).toBeGreaterThan(10 * Math.abs(clean.common));
    expect(most(out)).toBeLessThan(Math.abs(worn.common));
  });

  test("with a film of dirt loses half the film's voltage of a large signal", () => {
    const still = { clean, worn: clean, filmV: 1e-3 };
    const stage = dirtyJack(still, quiet, createRng("g"), 8000, blockLength);
    // film·v/(|v| + film) tends to the film's voltage; it holds back one leg's half only.
    expect(fed([stage], 1, 1)[100] / clean.differential).toBeCloseTo(1 - 0.5e-3, 5);
  });
});
