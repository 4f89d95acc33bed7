import { describe, expect, it } from "vitest";
import { isAbsent } from "../../src/measure/absence.js";
import { computeMainsVariance } from "../../src/measure/line-noise.js";
import { measureReturn } from "../../src/measure/measure.js";
import { readingKinds } from "../../src/measure/reading-kinds.js";
import { noise468 } from "../../src/measure/readings/noise468.js";
import type { ReturnAudio } from "../../src/measure/return-audio.js";
import { analyzeSilence } from "../../src/measure/silence-analysis.js";
import { analyzeTone } from "../../src/measure/tone.js";
import type { Reading } from "../../src/measure/types.js";
import type { SignalTable } from "../../src/signal/types.js";
import { gaussian } from "../helpers/noise.js";
import { makeSamples } from "../helpers/samples.js";

// Expected: closed forms of a tone and a silence that are written down sample by sample, at a rate of
// 8 kHz and for a second, so that each is measured in milliseconds.

const rate = 8000;
const tone = {
  kind: "tone",
  name: "tone-1k",
  startS: 0.1,
  lengthS: 0.6,
  frequencyHz: 1000,
  levelDbfs: -18,
} as const;
const markers = (["start", "end"] as const).map((which, k) => ({
  kind: "marker",
  name: `marker-${which}`,
  which,
  startS: 0.9 * k,
  lengthS: 0.05,
  spacingS: 0.02,
  levelDbfs: -18,
}));
const table = (...segments: readonly object[]) =>
  ({
    profile: "quick",
    nominalDbfs: -18,
    segments: [markers[0], ...segments, markers[1]],
    lengthS: 1,
  }) as never as SignalTable;

function returnOf(samples: Float64Array, more: Partial<ReturnAudio> = {}): ReturnAudio {
  return {
    samples,
    origin: 0,
    clock: rate,
    sampleRate: rate,
    table: table(tone),
    mainsHz: 50,
    ...more,
  };
}

describe("a return of a tone alone", () => {
  const sine = (peak: number, noise = 0) => {
    const next = gaussian(3);
    return makeSamples(
      rate,
      (n) => peak * Math.cos((2 * Math.PI * 1000 * n) / rate) + noise * next(),
    );
  };
  const own = readingKinds.filter(({ segment }) => segment === "tone-1k");

  it("has the readings that are made of it, and nothing else", () => {
    const measured = measureReturn(returnOf(sine(0.1, 1e-6)));
    const expected = own.filter(({ applies }) => applies === undefined).map(({ id }) => id);
    expect(Object.keys(measured.readings).concat(Object.keys(measured.absent)).sort()).toEqual(
      expected.sort(),
    );
    expect(measured.readings.level.value).toBeCloseTo(-20, 4);
    expect(measured.readings.gain.value).toBeCloseTo(-2, 4);
    // Harmonics from 5 kHz on are beyond the rate.
    expect(Object.keys(measured).sort()).toEqual(["absent", "curves", "readings"]);
    expect(measured.curves).toEqual({});
  });

  it("has those of both sides where two were recorded", () => {
    const partner = { samples: sine(0.05, 1e-6), side: "right" as const };
    const measured = measureReturn(returnOf(sine(0.1, 1e-6), { partner }));
    expect(measured.partner?.side).toBe("right");
    expect(measured.partner?.readings.level.value).toBeCloseTo(-26.0206, 3);
    expect(measured.readings.balance.value).toBeCloseTo(6.0206, 3);
    expect(measured.readings.stereoPhase.value).toBeCloseTo(0, 3);
    // The other side by itself has neither.
    expect(measured.partner?.readings).not.toHaveProperty("balance");
    expect(measured.partner).not.toHaveProperty("partner");
  });

  it("tells why there is no crosstalk", () => {
    const audio = returnOf(sine(0.1, 1e-6));
    const samples = new Float64Array(rate);
    const of = (...channels: readonly object[]) =>
      measureReturn(
        audio,
        channels.map((more, channel) => ({ channel, samples, ...more })),
      ).absent.crosstalk;
    expect(of()).toBeUndefined();
    expect(of({})).toEqual({ code: "not-in-signal", part: "sweep", profile: "quick" });
    expect(of({ isBad: true })).toEqual({ code: "undriven-invalid" });
  });

  it("tells what is absent of one without a tone, which has no reading of it", () => {
    const measured = measureReturn(returnOf(new Float64Array(rate)));
    expect(measured.readings).toEqual({});
    expect(measured.absent.level).toEqual({ code: "no-tone", hz: 1000 });
    expect(measureReturn(returnOf(sine(0.1), { table: table() }))).toEqual({
      readings: {},
      absent: {},
      curves: {},
    });
  });
});

describe("a return of a silence alone", () => {
  const silence = { kind: "silence", name: "silence", startS: 0.1, lengthS: 1 } as const;
  const measure = (hum: number) => {
    const next = gaussian(5);
    const fast = 16_000;
    const samples = makeSamples(
      1.2 * fast,
      (n) => 1e-4 * next() + hum * Math.cos((2 * Math.PI * 50 * n) / fast),
    );
    const at = { clock: fast, sampleRate: fast, table: table(silence) };
    return measureReturn(returnOf(samples, at));
  };

  it("has what is read of it, its bands, and why there are no lines", () => {
    const { readings, absent, curves } = measure(0);
    const own = readingKinds.filter((one) => one.segment === "silence" && one.id !== "ein");
    expect([...Object.keys(readings), ...Object.keys(absent)].sort()).toEqual(
      [...own.map(({ id }) => id), "humLines"].sort(),
    );
    expect(Object.keys(curves)).toEqual(["noise"]);
    expect(absent.humLines).toEqual({ code: "no-mains-line", mainsHz: 50, withinHz: 0.5 });
    // 1e-4 r.m.s. against a sine at full scale.
    expect(Math.abs(readings.noise.value + 77)).toBeLessThan(0.3);
  });

  it("has the lines that are in it", () => {
    const { readings, absent, curves } = measure(0.01);
    expect(Object.keys(curves)).toEqual(["noise", "humLines"]);
    expect(absent).not.toHaveProperty("humLines");
    expect(curves.humLines.y[0]).toBeCloseTo(-40, 1);
    expect(readings.hum.value).toBeCloseTo(-40, 1);
  });

  it("is none of a controls pass, which has no readings", () => {
    const pass = { ...table(), profile: "controls" } as SignalTable;
    const measured = measureReturn(returnOf(new Float64Array(rate), { table: pass }));
    expect(measured).toMatchObject({ readings: {}, curves: {} });
    expect([measured.controls, measured.absent.controls].filter(Boolean)).toHaveLength(1);
  });
});

describe("a tone that is fitted", () => {
  const length = rate * 1.2;
  /** With a second harmonic a hundredth as strong. */
  const samplesOf = (hz: number, noise = 1e-5) => {
    const next = gaussian(4);
    return makeSamples(length, (n) => {
      const angle = (2 * Math.PI * hz * n) / rate;
      return 0.1 * Math.cos(angle + 0.7) + 0.001 * Math.cos(2 * angle + 0.2) + noise * next();
    });
  };
  const linesAt = (frequencyHz: number, amplitude: number) =>
    ({
      frequencyHz,
      deviationHz: 0,
      amplitudes: Float64Array.from({ length: 40 }, (_, k) => (k === 19 ? amplitude : 0)),
      variances: new Float64Array(40),
      higher: [],
    }) as never;
  const analyze = (samples: Float64Array, more: Partial<ReturnAudio> = {}, lines?: never) =>
    analyzeTone(returnOf(samples, more), 0.1, 1, 1000, -18, lines);
  const made = (...given: Parameters<typeof analyze>) => {
    const found = analyze(...given);
    if (isAbsent(found)) throw new Error(found.absent.code);
    return found;
  };

  it("has its frequency, amplitudes and what is left, from 80 ms after its start to 15 before its end", () => {
    const found = made(samplesOf(1000.3));
    expect(found.frequencyHz).toBeCloseTo(1000.3, 3);
    expect([...found.amplitudes.slice(0, 2)]).toEqual(
      [0.1, 0.001].map((a) => expect.closeTo(a, 5)),
    );
    expect(found.residual.length / rate).toBeCloseTo(1 - 0.095, 3);
    expect(found.startS).toBeCloseTo(0.18, 3);
    expect(found).toMatchObject({ hidden: 0, withoutLine: undefined, sentDbfs: -18 });
    // Noise of σ has 2σ²/rate per hertz, and an amplitude that over the time.
    const expected = (2 * 1e-10) / rate / (1 - 0.095);
    const mean = found.variances.slice(0, 3).reduce((sum, v) => sum + v / 3, 0);
    expect(mean / expected).toBeGreaterThan(0.8);
    expect(mean / expected).toBeLessThan(1.25);
  });

  it("has its frequency by the playing clock, and mains lines by the recorder's", () => {
    // The recorder takes 8008 samples a second and says 8000: what plays at 1000 Hz is 999 Hz there.
    const clock = rate + 8;
    const samples = samplesOf((1000 * rate) / clock);
    const hz = (1000 * rate) / clock;
    const found = made(samples, { clock });
    expect(found.frequencyHz).toBeCloseTo(1000, 3);
    const hidden = (at: number) => made(samples, { clock }, linesAt(at / 20, 0.01)).hidden;
    const seconds = found.residual.length / clock;
    const whole = computeMainsVariance(linesAt(hz / 20, 0.01), hz, seconds);
    expect(hidden(hz) / whole).toBeCloseTo(1, 3);
    expect(hidden(hz + 1)).toBeLessThan(0.5 * whole);
    expect(hidden(hz - 1)).toBeLessThan(0.5 * whole);
    // It is part of the doubt about the amplitude, and is taken out of what is around.
    const lined = made(samples, { clock }, linesAt(hz / 20, 0.01));
    expect(lined.variances[0]).toBeGreaterThan(whole);
    expect(lined.variances[0] / whole).toBeLessThan(1.01);
    expect(lined.withoutLine?.lines.power).toBeCloseTo(0.5e-4, 9);
    // More than four cycles beside it, over 0.9 s.
    expect(made(samples, { clock }, linesAt((hz + 5) / 20, 0.01)).withoutLine).toBeUndefined();
  });

  it("is one if it is five times the amplitude that noise has: √2 deviations", () => {
    const next = gaussian(6);
    const noise = makeSamples(length, () => 0.01 * next());
    const deviation = Math.sqrt((2 * 1e-4) / rate / (1 - 0.095));
    const of = (times: number) =>
      isAbsent(
        analyze(
          makeSamples(
            length,
            (n) => noise[n] + times * deviation * Math.cos((2 * Math.PI * 1000 * n) / rate),
          ),
        ),
      );
    expect(of(12)).toBe(false);
    expect(of(3)).toBe(true);
  });

  it("is none in a capture that ends before, or that is clipped", () => {
    expect(analyze(new Float64Array(rate))).toEqual({
      absent: { code: "not-in-capture", part: "tone" },
    });
    const clipped = samplesOf(1000).map((x) => Math.max(-1, Math.min(1, 20 * x)));
    expect(analyze(clipped)).toEqual({ absent: { code: "converter-clipped" } });
  });
});

describe("a silence taken apart", () => {
  const silence = { kind: "silence", name: "silence", startS: 0.2, lengthS: 1.5 } as const;
  const rate = 16_000;
  const length = rate * 2;
  const of = (at: (n: number) => number, more: Partial<ReturnAudio> = {}) =>
    analyzeSilence(
      returnOf(makeSamples(length, at), {
        clock: rate,
        sampleRate: rate,
        table: table(silence),
        ...more,
      }),
    );
  const made = (at: (n: number) => number) => {
    const found = of(at);
    if (isAbsent(found)) throw new Error(found.absent.code);
    return found;
  };

  it("is an offset, lines and the rest, from a tenth of a second on", () => {
    const next = gaussian(8);
    const found = made(
      (n) => 0.02 + 1e-4 * next() + 0.003 * Math.cos((2 * Math.PI * 50 * n) / rate + 0.4),
    );
    expect(found.startS).toBeCloseTo(0.3, 3);
    expect(found.heard.length / rate).toBeCloseTo(1.4, 3);
    expect(found.hiss).toHaveLength(found.heard.length);
    expect(found.offset).toBeCloseTo(0.02, 5);
    expect(found.lines?.frequencyHz).toBeCloseTo(50, 1);
    expect(found.lines?.amplitudes[0]).toBeCloseTo(0.003, 4);
    expect(found.hidden).toBeUndefined();
    const mean = found.hiss.reduce((sum, x) => sum + x, 0) / found.hiss.length;
    expect(mean).toBeCloseTo(0, 9);
    const power = found.hiss.reduce((sum, x) => sum + x * x, 0) / found.hiss.length;
    expect(power / 1e-8).toBeGreaterThan(0.9);
    expect(power / 1e-8).toBeLessThan(1.1);
    // What was heard stays as it was.
    expect(found.heard[0]).toBeGreaterThan(0.01);
    expect(found.step).toBeUndefined();
  });

  it("has no lines but what may be hidden where noise is all there is", () => {
    const next = gaussian(9);
    const step = 2 ** -12;
    const found = made(() => step * Math.round((1e-3 * next()) / step));
    expect(found.lines).toBeUndefined();
    expect(found.hidden?.(() => true)).toBeGreaterThan(0);
    expect(found.step).toBeCloseTo(step, 12);
  });

  it("is none where all samples are alike, clipped or not there", () => {
    expect(of(() => 0)).toEqual({ absent: { code: "digital-zero", of: "silence" } });
    expect(of(() => 0.25)).toEqual({ absent: { code: "digital-zero", of: "silence" } });
    expect(of(() => 1)).toEqual({ absent: { code: "converter-clipped" } });
    // One sample that is another is no digital silence.
    expect(isAbsent(of((n) => (n === length - 6000 ? 1e-3 : 0)))).toBe(false);
    expect(of(() => 0, { samples: new Float64Array(rate) })).toEqual({
      absent: { code: "not-in-capture", part: "silence" },
    });
    expect(of(() => 0, { table: table() })).toEqual({
      absent: { code: "not-in-signal", part: "silence", profile: "quick" },
    });
  });
});

describe("the quasi-peak meter on a silence", () => {
  const read = (heard: Float64Array) =>
    noise468.read({
      quiet: () => ({
        heard,
        step: undefined,
        lines: undefined,
        spectrum: { density: new Float64Array(201).fill(1e-9), stepHz: 20, segments: 10 },
      }),
      audio: { sampleRate: rate },
    } as never) as Reading;
  const tone = (seconds: number, peak: (s: number) => number) =>
    makeSamples(seconds * rate, (n) => peak(n / rate) * Math.sin((2 * Math.PI * 1000 * n) / rate));
  /** A process that forgets in 0.72 s, over a window that moves so far: 0.145 dB of it. */
  const meanDb = (seconds: number) => {
    const times = seconds / 0.72;
    return 0.145 * Math.sqrt((2 / times) * (1 - (1 - Math.exp(-times)) / times));
  };

  it("shows a steady tone of 1 kHz as its r.m.s. value, against a sine at full scale", () => {
    // BS.468-4, table 1: no weight at 1 kHz.
    const found = read(tone(3, () => 0.1));
    expect(Math.abs(found.value + 20)).toBeLessThan(0.1);
    expect(found.unit).toBe("dBFS");
    // Two of the three seconds are left for the window to move in.
    expect(found.uncertainty / Math.hypot(0.05, meanDb(2))).toBeCloseTo(1, 1);
    expect(read(tone(1, () => 0.1)).uncertainty).toBeGreaterThan(Math.hypot(0.05, 0.9 * 0.145));
  });

  it("is the less sure where it moves by more than half a decibel", () => {
    const of = (db: number) => read(tone(4, (s) => (s < 2 ? 0.1 : 0.1 * 10 ** (db / 20))));
    expect(of(0.3).uncertainty).toBeLessThan(0.2);
    const loud = of(6);
    expect(Math.abs(loud.uncertainty - 6)).toBeLessThan(0.1);
    // A window of a second sees the louder half in two of three seconds.
    expect(loud.value).toBeGreaterThan(-17);
    expect(loud.value).toBeLessThan(-15);
    const falling = read(tone(4, (s) => (s < 2 ? 0.2 : 0.1)));
    expect(Math.abs(falling.uncertainty - 6)).toBeLessThan(0.2);
  });

  it("is none of nothing", () => {
    expect(read(new Float64Array(2 * rate))).toEqual({
      absent: { code: "digital-zero", of: "silence" },
    });
    const absent = { absent: { code: "converter-clipped" } };
    expect(noise468.read({ quiet: () => absent } as never)).toEqual(absent);
  });
});
