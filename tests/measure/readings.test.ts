import { describe, expect, it } from "vitest";
import { withBufferPool } from "../../src/dsp/buffer-pool.js";
import { computeEqualShare } from "../../src/measure/integrity/equal-share.js";
import { measureReturn } from "../../src/measure/measure.js";
import { getShareDomain } from "../../src/measure/reading-kinds.js";
import { createReturnContext } from "../../src/measure/return-context.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { addNoise, addReturn, sineRms } from "../helpers/captures.js";

const rate = 48_000;
const quick = buildSignalTable("quick", "base");
const standard = buildSignalTable("standard", "base");

function capture(table = quick, gain = 1) {
  const samples = new Float64Array(Math.round((table.lengthS + 0.2) * rate));
  addReturn(samples, table, rate, 4800.4, 0, gain);
  return samples;
}

function measure(samples: Float64Array, table = quick) {
  return measureReturn({
    samples,
    origin: 4800.4,
    clock: rate,
    sampleRate: rate,
    table,
    mainsHz: 50,
  });
}

describe("what a return's signal lacks", () => {
  const audio = { samples: capture(), origin: 4800.4, clock: rate, sampleRate: rate, mainsHz: 50 };
  const table = { ...quick, segments: [] };
  const context = createReturnContext({ ...audio, table, ceiling: { high: 1, low: -1 } });

  it.each([
    ["tone", () => context.tone("tone-1k")],
    ["step", () => context.step(0)],
    ["level-steps", () => context.ladder()],
    ["twin-tone", () => context.twin()],
    ["silence", () => context.silence()],
    ["silence", () => context.quiet()],
  ])("is reported the %s", (part, find) => {
    expect(find()).toEqual({ absent: { code: "not-in-signal", part, profile: "quick" } });
  });
});

it("what a shared part adds is not known of what is no reading", () => {
  expect(getShareDomain("noise")).toBe("power");
  expect(getShareDomain("nothing")).toBeUndefined();
});

it("equal neighbours are counted in runs shorter than 32, and of longer ones nothing is known", () => {
  const silence = (run: number) =>
    Float64Array.from({ length: capture().length }, (_, n) => (Math.floor(n / run) % 2) * 1e-5);
  const share = (run: number) =>
    computeEqualShare({
      samples: silence(run),
      origin: 0,
      clock: rate,
      sampleRate: rate,
      table: quick,
      mainsHz: 50,
    });
  // Of each run all but its first sample are equal to the one before.
  expect(share(4)).toBeCloseTo(3 / 4, 3);
  expect(share(31)).toBeCloseTo(30 / 31, 3);
  expect(share(32)).toBe(1);
});

describe("measureReturn", () => {
  it("reads a level of −18 dBFS less 7.3 dB within 0.001 dB", () => {
    // closed form: the gain put in
    const m = measure(capture(quick, 10 ** (-7.3 / 20)));
    expect(Math.abs(m.readings.level.value - -25.3)).toBeLessThan(0.001);
    expect(Math.abs(m.readings.gain.value - -7.3)).toBeLessThan(0.001);
  });

  it("is not disturbed by what is left in used rooms, and leaves nothing of its own there", () => {
    const noisy = capture(standard, 0.5);
    addNoise(noisy, 1e-3, 5);
    const samples = capture(standard, 0.8);
    const alone = measure(samples, standard);
    withBufferPool(() => measure(noisy, standard));
    const after = withBufferPool(() => measure(samples, standard));
    expect(after).toEqual(alone);
    withBufferPool(() => measure(noisy, standard));
    expect(after).toEqual(alone);
  });

  it("has a residual of its own below −140 dB in floating point", () => {
    const m = measure(capture());
    expect(m.readings.thdN.value).toBeLessThan(-140);
    expect(m.readings.thd.value).toBeLessThan(-140);
  });

  it("reads the noise of a 24-bit quantiser with TPDF dither as q²/4 within 0.5 dB", () => {
    // closed form: total error power q²/4 with TPDF dither of 2 LSB (shared reference: levels),
    // white up to half the sample rate; THD+N counts 20 Hz to 20 kHz of it
    const q = 2 ** -23;
    let state = 12345;
    const uniform = () => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      return state / 4294967296;
    };
    const samples = capture().map((x) => q * Math.round(x / q + uniform() + uniform() - 1));
    const m = measure(samples);
    const inBand = ((q * q) / 4) * ((20_000 - 20) / (rate / 2));
    const expected = 10 * Math.log10(inBand / sineRms(-18) ** 2);
    expect(Math.abs(m.readings.thdN.value - expected)).toBeLessThan(0.5);
  });

  it("reads white noise of known density, unweighted and A-weighted, within its uncertainty", () => {
    // closed form: σ²·(22400−22.4)/24000 re a full-scale sine; the A-weighted figure by
    // numerical integration of IEC 61672-1's curve over 22.4 Hz to 22.4 kHz
    const rms = 1e-4;
    const samples = capture();
    addNoise(samples, rms, 77);
    const m = measure(samples);
    const density = (rms * rms) / (rate / 2);
    const flat = 10 * Math.log10(2 * density * (22_400 - 22.4));
    let weighted = 0;
    for (let hz = 22.4; hz < 22_400; hz += 1) {
      const f = hz * hz;
      const a =
        (12194.217 ** 2 * f * f) /
        ((f + 20.598997 ** 2) *
          Math.sqrt((f + 107.65265 ** 2) * (f + 737.86223 ** 2)) *
          (f + 12194.217 ** 2));
      weighted += (a * 10 ** (2 / 20)) ** 2;
    }
    const expectedA = 10 * Math.log10(2 * density * weighted);
    expect(Math.abs(m.readings.noise.value - flat)).toBeLessThan(
      1.5 * m.readings.noise.uncertainty,
    );
    expect(Math.abs(m.readings.noiseA.value - expectedA)).toBeLessThan(
      1.5 * m.readings.noiseA.uncertainty,
    );
    expect(m.readings.noise.uncertainty).toBeLessThan(0.2);
  });

  it("reads the harmonics of a known polynomial within 0.1 dB", () => {
    // closed form: y = x + b·x² + c·x³ of x = a·cos θ gives
    // fundamental a + ¾c·a³, second b·a²/2, third c·a³/4
    const samples = capture();
    const b = 0.01;
    const c = -0.02;
    const a = 10 ** (-18 / 20);
    const m = measure(samples.map((x) => x + b * x * x + c * x * x * x));
    const fundamental = a + 0.75 * c * a ** 3;
    const second = (b * a * a) / 2;
    const third = Math.abs((c * a ** 3) / 4);
    expect(m.readings.harmonic2.value).toBeCloseTo(20 * Math.log10(second / fundamental), 1);
    expect(m.readings.harmonic3.value).toBeCloseTo(20 * Math.log10(third / fundamental), 1);
    const total = Math.hypot(second, third) / fundamental;
    expect(m.readings.thd.value).toBeCloseTo(20 * Math.log10(total), 1);
  });

  // Tₖ(cos θ) = cos kθ: a tone of amplitude a to which hₖ·a·Tₖ(x/a) is added has a k-th harmonic of hₖ
  // against its fundamental, and no other.
  const a = 10 ** (-18 / 20);
  const chebyshev = (x: number, k: number) =>
    a * Math.cos(k * Math.acos(Math.max(-1, Math.min(1, x / a))));

  it.each([
    ["harmonic4", 4],
    ["harmonic5", 5],
    ["harmonic6", 6],
    ["harmonic7", 7],
    ["harmonic8", 8],
    ["harmonic9", 9],
    ["harmonic10", 10],
  ] as const)("reads %s of a Chebyshev polynomial within 0.1 dB", (id, k) => {
    const share = 10 ** (-60 / 20);
    const { readings } = measure(capture().map((x) => x + share * chebyshev(x, k)));
    expect(readings[id].value).toBeCloseTo(-60, 1);
    expect(readings.thd.value).toBeCloseTo(-60, 1);
  });

  it("reads distortion at 100 Hz as it is there: 0.1 % of the third is −60 dB", () => {
    const share = 10 ** (-60 / 20);
    const samples = capture(standard).map((x) => x + share * chebyshev(x, 3));
    expect(measure(samples, standard).readings.thd100.value).toBeCloseTo(-60, 1);
  });

  it("says that noise set the figure where harmonics drown in it", () => {
    const samples = capture();
    addNoise(samples, 1e-3, 5);
    const m = measure(samples);
    expect(m.readings.thd.limitedBy).toBe("noise");
  });

  it("leaves a reading out, with the reason, rather than guess", () => {
    const clipped = capture(standard, 9).map((x) => Math.max(-1, Math.min(1, x)));
    const loud = measure(clipped, standard);
    expect(loud.readings.level).toBeUndefined();
    expect(loud.absent.level).toEqual({ code: "converter-clipped" });
    expect(loud.absent.response).toEqual({ code: "converter-clipped" });
    const silent = measure(new Float64Array(capture().length));
    expect(silent.readings.level).toBeUndefined();
    expect(silent.absent.level).toEqual({ code: "no-tone", hz: 1000 });
    expect(silent.absent.noise).toEqual({ code: "digital-zero", of: "silence" });
    const short = measure(capture(standard).slice(0, 5 * rate), standard);
    expect(short.absent.level).toEqual({ code: "not-in-capture", part: "tone" });
    for (const m of [loud, silent, short]) {
      for (const r of Object.values(m.readings)) expect(Number.isFinite(r.value)).toBe(true);
    }
  });
});
