import { describe, expect, it } from "vitest";
import { measureReturn } from "../../src/measure/measure.js";
import { balance, stereoPhase } from "../../src/measure/readings/stereo.js";
import type { ReturnAudio } from "../../src/measure/return-audio.js";
import { createReturnContext } from "../../src/measure/return-context.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { highPass1, lowPass1, magnitudeDb, throughFilter } from "../helpers/analogue.js";
import { addNoise, addReturn } from "../helpers/captures.js";
import { loop, recorder, shortTable } from "../helpers/interface.js";
import { slow } from "../helpers/slow.js";

// Expected values: closed forms of the gains and filters between the two channels.

const rate = 48_000;
const quick = buildSignalTable("quick", "base");
const origin = 2400.4;

function channel(gain: number, noiseRms: number, seed: number): Float64Array {
  const samples = new Float64Array(Math.round((quick.lengthS + 0.15) * rate));
  addReturn(samples, quick, rate, origin, 0, gain);
  addNoise(samples, noiseRms, seed);
  return samples;
}

/** An input with so much gain, and noise of −60 dBFS. */
function device(gain: number) {
  return { outputVolts: gain, inputVolts: 1, outputNoise: 0, inputNoise: Math.SQRT2 * 1e-3 };
}

function audio(samples: Float64Array, partner?: ReturnAudio["partner"]): ReturnAudio {
  const base = { samples, origin, clock: rate, sampleRate: rate, table: quick, mainsHz: 50 };
  return partner ? { ...base, partner } : base;
}

function measureStereo(left: Float64Array, right: Float64Array) {
  return measureReturn(audio(left, { samples: right, side: "right" }));
}

describe("a stereo bus", () => {
  it("has as balance the level of the left side less that of the right", () => {
    // closed form: 20·log10(0.8/0.7)
    const m = measureStereo(channel(0.8, 1e-5, 1), channel(0.7, 1e-5, 2));
    const expected = 20 * Math.log10(0.8 / 0.7);
    expect(Math.abs(m.readings.balance.value - expected)).toBeLessThan(0.001);
    expect(Math.abs(m.readings.stereoPhase.value)).toBeLessThan(0.01);
  });

  it("keeps left and right apart when the left side is the partner", () => {
    const right = audio(channel(0.7, 1e-5, 2), { samples: channel(0.8, 1e-5, 1), side: "left" });
    expect(measureReturn(right).readings.balance.value).toBeGreaterThan(1.1);
  });

  it("has as phase that of the left side less that of the right", () => {
    // closed form: a first-order low-pass at 5 kHz turns 1 kHz by −arctan(1/5) = −11.310°
    const right = throughFilter(channel(1, 0, 1), rate, lowPass1(5000));
    addNoise(right, 1e-6, 9);
    const m = measureStereo(channel(1, 1e-6, 3), right);
    expect(m.readings.stereoPhase.value).toBeCloseTo((Math.atan(1 / 5) * 180) / Math.PI, 2);
    expect(m.readings.stereoPhase.unit).toBe("°");
  });

  it("reads 180 degrees for an inverted side", () => {
    const m = measureStereo(channel(1, 1e-6, 1), channel(-1, 1e-6, 2));
    expect(Math.abs(m.readings.stereoPhase.value)).toBeCloseTo(180, 2);
  });

  it("has as delay the slope of the phase between the sides, which an inverted side leaves alone", () => {
    // closed form: a first-order low-pass turns by −arctan(f/fc); the straight line through that at
    // 60 frequencies from 300 Hz to 3 kHz, least squares, over −2π
    const cornerHz = 8000;
    const hz = Array.from({ length: 60 }, (_, k) => 300 + (2700 * k) / 59);
    const spread = hz.reduce((sum, f) => sum + (f - 1650) ** 2, 0);
    const slope = hz.reduce((sum, f) => sum - (f - 1650) * Math.atan(f / cornerHz), 0) / spread;
    const late = (-1e6 * slope) / (2 * Math.PI);
    const right = throughFilter(channel(-1, 0, 1), rate, lowPass1(cornerHz));
    addNoise(right, 1e-6, 9);
    const left = measureStereo(channel(1, 1e-6, 3), right).readings.delay;
    expect(Math.abs(left.value + late)).toBeLessThan(0.01);
    expect(left.unit).toBe("µs");
    const other = audio(right, { samples: channel(1, 1e-6, 3), side: "left" });
    expect(measureReturn(other).readings.delay.value).toBeCloseTo(left.value, 6);
  });

  it("states uncertainties that hold the truth in 93 to 98 of 100 returns", {
    ...slow,
    timeout: 240_000,
  }, () => {
    // truth: the gains put in; 250 runs, so the share itself is known to about ±2.8 % (binomial)
    const balanceDb = 20 * Math.log10(0.5 / 0.45);
    let heldBalance = 0;
    let heldPhase = 0;
    const runs = 250;
    const table = shortTable("tone-1k");
    const left = recorder(table, device(0.5), loop);
    const right = recorder(table, device(0.45), loop);
    for (let run = 0; run < runs; run++) {
      const partner = { samples: right(9000 + run).samples, side: "right" } as const;
      const sides = { ...left(1000 + run), partner };
      const context = createReturnContext(sides);
      const difference = balance.read(context);
      const turn = stereoPhase.read(context);
      if ("absent" in difference || "absent" in turn) throw new Error("not read");
      if (Math.abs(difference.value - balanceDb) <= difference.uncertainty) heldBalance++;
      if (Math.abs(turn.value) <= turn.uncertainty) heldPhase++;
    }
    for (const held of [heldBalance, heldPhase]) {
      expect(held / runs).toBeGreaterThan(0.905);
      expect(held / runs).toBeLessThan(0.995);
    }
  });

  it("has a bound as balance where one side carries no tone", () => {
    const dead = channel(0, 1e-4, 5);
    const right = measureStereo(channel(0.5, 1e-4, 4), dead);
    expect(right.readings.balance).toMatchObject({ bound: "lower", limitedBy: "noise" });
    expect(right.readings.balance.value).toBeGreaterThan(50);
    expect(right.absent.stereoPhase).toEqual({
      code: "of-other-side",
      because: { code: "no-tone", hz: 1000 },
    });
    const left = measureReturn(audio(channel(0.5, 1e-4, 4), { samples: dead, side: "left" }));
    expect(left.readings.balance).toMatchObject({ bound: "upper" });
    expect(left.readings.balance.value).toBeLessThan(-50);
  });

  it("is measured on both sides", () => {
    const m = measureStereo(channel(0.8, 1e-5, 1), channel(0.4, 1e-4, 2));
    expect(m.partner?.side).toBe("right");
    expect(m.partner?.readings.level.value).toBeCloseTo(-18 + 20 * Math.log10(0.4), 2);
    expect(m.partner?.readings.noise.value).toBeGreaterThan(m.readings.noise.value + 19);
    expect(m.partner?.curves.response.x).toEqual(m.curves.response.x);
  });

  it("has neither reading in a capture of one channel", () => {
    const m = measureReturn(audio(channel(0.8, 1e-5, 1)));
    expect(m.readings).not.toHaveProperty("balance");
    expect(m.absent).not.toHaveProperty("balance");
    expect(m).not.toHaveProperty("partner");
    expect(m.curves).not.toHaveProperty("crosstalk");
  });
});

describe("crosstalk", () => {
  const driven = channel(1, 1e-5, 1);

  function leaking(gainDb: number, noiseRms: number, seed: number): Float64Array {
    const through = throughFilter(channel(1, 0, 0), rate, highPass1(8000));
    const samples = through.map((x) => x * 10 ** (gainDb / 20));
    addNoise(samples, noiseRms, seed);
    return samples;
  }

  it("follows a stray capacitance within its stated uncertainty, third octave by third octave", () => {
    // closed form: first-order high-pass at 8 kHz, 50 dB down
    const samples = leaking(-50, 1e-6, 7);
    const { crosstalk } = measureReturn(audio(driven), [{ channel: 1, samples }]).curves;
    expect(crosstalk.x[0]).toBeCloseTo(19.95, 2);
    expect(crosstalk.x).toHaveLength(31);
    let held = 0;
    crosstalk.x.forEach((hz, i) => {
      const expected = -50 + magnitudeDb(highPass1(8000)(hz));
      const { y, uncertainty } = crosstalk;
      // a bound holds from above
      const off = uncertainty[i] >= 6 ? expected - y[i] : Math.abs(y[i] - expected);
      if (off <= uncertainty[i]) held++;
    });
    expect(held).toBeGreaterThanOrEqual(28);
  });

  it("is a bound near the floor that noise gives, where it drowns", () => {
    const samples = leaking(-150, 1e-4, 8);
    const { crosstalk } = measureReturn(audio(driven), [{ channel: 1, samples }]).curves;
    crosstalk.x.forEach((_, i) => {
      expect(crosstalk.y[i]).toBeGreaterThan((crosstalk.floor?.[i] ?? 0) - 3);
      expect(crosstalk.y[i]).toBeLessThan((crosstalk.floor?.[i] ?? 0) + 20);
    });
  });

  it("of several channels is the worst, and each on its own", () => {
    const near = leaking(-50, 1e-6, 7);
    const far = leaking(-70, 1e-6, 8);
    const { curves } = measureReturn(audio(driven), [
      { channel: 1, samples: far },
      { channel: 3, samples: near },
    ]);
    expect(Object.keys(curves)).toEqual(
      expect.arrayContaining(["crosstalk", "crosstalk-2", "crosstalk-4"]),
    );
    expect(curves.crosstalk.y[30]).toBe(curves["crosstalk-4"].y[30]);
  });

  it("is absent with its reason onto a channel of digital zero", () => {
    const samples = new Float64Array(driven.length);
    const m = measureReturn(audio(driven), [{ channel: 1, samples }]);
    expect(m.curves).not.toHaveProperty("crosstalk");
    expect(m.absent.crosstalk).toEqual({ code: "digital-zero", of: "undriven" });
  });

  it("is not read from a channel with samples that are not numbers", () => {
    const samples = driven.map((x) => 1e-3 * x);
    const bad = { channel: 1, samples, isBad: true } as const;
    const m = measureReturn(audio(driven), [bad]);
    expect(m.curves).not.toHaveProperty("crosstalk");
    expect(m.absent.crosstalk).toEqual({ code: "undriven-invalid" });
    const both = measureReturn(audio(driven), [bad, { channel: 2, samples }]);
    expect(Object.keys(both.curves)).toContain("crosstalk");
  });
});
