import { describe, expect, it } from "vitest";
import { findPhaseJumps, trackPhase, wrapPhase } from "../../src/dsp/phase-track.js";
import { makeSamples } from "../helpers/samples.js";

/** Eight periods of 24 samples: the projection of a tone onto a piece is exact. */
const frequency = 1 / 24;
const step = 192;

function tone(length: number, amplitude: number, phase: (n: number) => number): Float64Array {
  return makeSamples(length, (n) => amplitude * Math.cos(2 * Math.PI * frequency * n + phase(n)));
}

describe("trackPhase", () => {
  it("gives amplitude and phase of a tone in every piece", () => {
    // closed form: those put in
    const {
      amplitudes,
      phases,
      step: apart,
    } = trackPhase(
      tone(20 * step + 100, 0.3, () => -2.1),
      frequency,
      step,
    );
    expect(apart).toBe(step);
    expect(amplitudes).toHaveLength(20);
    for (const amplitude of amplitudes) expect(amplitude).toBeCloseTo(0.3, 12);
    for (const phase of phases) expect(phase).toBeCloseTo(-2.1, 10);
  });

  it("holds the phase against a turn that runs through all samples, not from each piece on", () => {
    // pieces of 100 samples are no whole periods; the mean of a long row of them is still exact
    const { phases } = trackPhase(
      tone(1200 * 10, 1, () => 0.4),
      frequency,
      100,
    );
    const mean = phases.reduce((sum, phase) => sum + phase, 0) / phases.length;
    expect(mean).toBeCloseTo(0.4, 2);
  });
});

describe("findPhaseJumps", () => {
  const leastRad = 0.02;
  /** The usual scatter: a phase that wanders by ±1 mrad from piece to piece. */
  const wander = (n: number) => 1e-3 * Math.sin(Math.floor(n / step) * 2.4);
  const run = (phase: (n: number) => number, pieces = 60) =>
    findPhaseJumps(
      trackPhase(
        tone(pieces * step, 1, (n) => wander(n) + phase(n)),
        frequency,
        step,
      ),
      leastRad,
    );

  it("gives the slope of a clock that differs, and no jump", () => {
    // closed form: 100 ppm of 2π·8 turns a piece
    const { slope, jumps } = run((n) => 2 * Math.PI * frequency * 1e-4 * n);
    expect(jumps).toEqual([]);
    expect(slope).toBeCloseTo(2 * Math.PI * 8 * 1e-4, 2);
  });

  it.each([1, -1, 3, 11])("finds %i lost samples as a jump of as many times 2π/24", (lost) => {
    const at = 30 * step + 50;
    const { jumps } = run((n) => (n < at ? 0 : 2 * Math.PI * frequency * lost));
    expect(jumps).toHaveLength(1);
    expect(jumps[0].radians).toBeCloseTo(2 * Math.PI * frequency * lost, 1);
    expect(Math.abs(jumps[0].at - at)).toBeLessThanOrEqual(1.5 * step);
    expect(Math.abs(jumps[0].radians - 2 * Math.PI * frequency * lost)).toBeLessThan(
      4 * jumps[0].stdDev + 0.004,
    );
  });

  it("finds two jumps that lie apart, in the order of time", () => {
    const { jumps } = run((n) => (n < 15 * step ? 0 : n < 40 * step ? 0.5 : 0.3));
    expect(jumps.map(({ radians }) => Math.round(10 * radians) / 10)).toEqual([0.5, -0.2]);
    expect(jumps.map(({ at }) => Math.round(at / step))).toEqual([15, 40]);
  });

  it("takes a moment after which the phase goes on as before for no jump", () => {
    expect(run((n) => (n >= 20 * step && n < 22 * step ? 1.2 : 0)).jumps).toEqual([]);
  });

  it("does not tell of a jump smaller than asked for, nor of one at either end", () => {
    expect(run((n) => (n < 30 * step ? 0 : 0.015)).jumps).toEqual([]);
    expect(run((n) => (n < step ? 0 : 0.5)).jumps).toEqual([]);
    expect(run((n) => (n < 59 * step ? 0 : 0.5)).jumps).toEqual([]);
  });

  /** Phases by hand: 40 pieces of 10 samples, what is put in at each step. */
  const track = (steps: Readonly<Record<number, number>>, usual = 0) => {
    let phase = 0;
    const phases = Float64Array.from({ length: 41 }, (_, k) => {
      phase += k === 0 ? 0 : usual + (steps[k - 1] ?? 0);
      return phase;
    });
    return { phases, amplitudes: new Float64Array(41).fill(1), step: 10 };
  };

  it("tells of a jump as large as asked for, in the middle of the two pieces it lies between", () => {
    // definition: those smaller are not reported; step k leads from piece k to piece k + 1
    expect(findPhaseJumps(track({ 20: 0.5 }), 0.5).jumps).toEqual([
      { at: 210, radians: 0.5, stdDev: 0 },
    ]);
    expect(findPhaseJumps(track({ 20: 0.5 }), 0.5000001).jumps).toEqual([]);
    expect(findPhaseJumps(track({ 1: 0.5 }), 0.5).jumps).toHaveLength(1);
    expect(findPhaseJumps(track({ 38: -0.5 }), 0.5).jumps).toHaveLength(1);
  });

  it("sums the steps of one disturbance, less the usual one, and parts those of two", () => {
    const { jumps, slope } = findPhaseJumps(track({ 10: 0.5, 12: -0.25, 15: 0.5 }, 0.125), 0.1);
    expect(slope).toBeCloseTo(0.125, 12);
    expect(jumps).toHaveLength(1);
    expect(jumps[0].radians).toBeCloseTo(0.75, 12);
    expect(jumps[0].at).toBe(135);
    const apart = findPhaseJumps(track({ 10: 0.5, 16: 0.5 }), 0.1).jumps;
    expect(apart.map(({ at }) => at)).toEqual([110, 170]);
  });

  it("says nothing of fewer than five pieces", () => {
    expect(run((n) => (n < 2 * step ? 0 : 1), 4)).toEqual({ slope: 0, jumps: [] });
  });
});

describe("wrapPhase", () => {
  it.each([
    [0.5, 0.5],
    [2 * Math.PI + 0.5, 0.5],
    [-7 * Math.PI + 0.25, -Math.PI + 0.25],
    [Math.PI + 0.1, -Math.PI + 0.1],
    [-Math.PI - 0.1, Math.PI - 0.1],
  ])("brings %d to %d", (radians, expected) => {
    expect(wrapPhase(radians)).toBeCloseTo(expected, 12);
  });
});
