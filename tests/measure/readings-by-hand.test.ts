import { describe, expect, it, test } from "vitest";
import type { Absent } from "../../src/measure/absence.js";
import { computeNoiseBands, computeNoiseCurve } from "../../src/measure/noise-bands.js";
import type { ReadingKind } from "../../src/measure/reading-kind.js";
import { clipSide, headroom } from "../../src/measure/readings/headroom.js";
import { computeHumLines, hum, humEven, humOdd, mains } from "../../src/measure/readings/hum.js";
import { gain, level } from "../../src/measure/readings/level.js";
import { computeStepGain, linearity } from "../../src/measure/readings/linearity.js";
import {
  computeNoiseBetween,
  dataSheetBandHz,
  hiss,
  noise,
  noise20k,
  noiseA,
} from "../../src/measure/readings/noise.js";
import { noiseSlope } from "../../src/measure/readings/noise-slope.js";
import { balance, stereoPhase } from "../../src/measure/readings/stereo.js";
import { strayTone, strayToneFrequency } from "../../src/measure/readings/stray-tone.js";
import type { Reading } from "../../src/measure/types.js";
import { assertMade } from "../helpers/made.js";

// Expected: worked by hand from what each context gives: a tone of a known amplitude, lines, a flat
// spectrum, steps. No audio is made. A small relative deviation of an amplitude x is 8.686·x dB.

const perNeper = 20 / Math.LN10;
const lg = (power: number) => 10 * Math.log10(power);
const absent = { absent: { code: "converter-clipped" } } as const;

/** A context that gives these and nothing else. */
function read(kind: ReadingKind, gives: Record<string, unknown>, audio: object = {}) {
  const context = Object.fromEntries(
    Object.entries(gives).map(([name, value]) => [name, () => value]),
  );
  return kind.read({
    ...context,
    audio: { sampleRate: 48_000, mainsHz: 50, table: { profile: "quick", segments: [] }, ...audio },
  } as never) as Reading & Absent;
}

describe("the level of a tone", () => {
  const tone = (amplitude: number, deviation: number, hidden = 0) => ({
    amplitudes: [amplitude],
    variances: [(deviation * amplitude) ** 2],
    hidden: hidden * (deviation * amplitude) ** 2,
    sentDbfs: -18,
  });

  it("is that of its amplitude, 95 % of noise within 1.96 deviations, of a line within 1.41", () => {
    const of = (hidden: number) => read(level, { tone: tone(0.5, 0.001, hidden) });
    expect(of(0)).toEqual({
      value: expect.closeTo(20 * Math.log10(0.5), 12),
      unit: "dBFS",
      uncertainty: expect.closeTo(Math.hypot(2e-5, 1.96 * perNeper * 0.001), 9),
    });
    const line = Math.SQRT2 * Math.sin(0.475 * Math.PI);
    expect(of(1).uncertainty).toBeCloseTo(Math.hypot(2e-5, line * perNeper * 0.001), 9);
  });

  it("stands as a gain against what was sent", () => {
    expect(read(gain, { tone: tone(0.5, 1e-9) })).toEqual({
      value: expect.closeTo(20 * Math.log10(0.5) + 18, 12),
      unit: "dB",
      uncertainty: expect.closeTo(2e-5, 9),
    });
    expect([level, gain].map((kind) => read(kind, { tone: absent }))).toEqual([absent, absent]);
  });
});

describe("both sides of a bus", () => {
  const tone = (amplitude: number, phase: number, deviation: number) => ({
    amplitudes: [amplitude],
    phases: [phase],
    variances: [(deviation * amplitude) ** 2],
  });
  const segments = [{ kind: "tone", name: "tone-1k", frequencyHz: 1000, lengthS: 0.25 }];
  /** The other channel is this side. */
  const bus = (kind: ReadingKind, side: "left" | "right", own: object, other: object) =>
    read(
      kind,
      { tone: own, partner: { tone: () => other, silence: () => silence } },
      { partner: { side }, table: { segments } },
    );
  // 4 in the bin of 1 kHz alone.
  const silence = { density: new Float64Array(300).fill(9e-6), stepHz: 10 };
  silence.density[100] = 4e-6;

  it("have a balance, left against right, and the doubts of both", () => {
    const [own, other] = [tone(0.4, 0, 0.003), tone(0.2, 0, 0.004)];
    const right = bus(balance, "right", own, other);
    expect(right).toEqual({
      value: expect.closeTo(20 * Math.log10(2), 12),
      unit: "dB",
      uncertainty: expect.closeTo(2 * perNeper * 0.005, 6),
    });
    expect(bus(balance, "left", own, other).value).toBeCloseTo(-20 * Math.log10(2), 12);
    expect(bus(balance, "left", absent, other)).toEqual(absent);
  });

  it("have a phase within half a turn of none", () => {
    const [own, other] = [tone(1, 3, 0.003), tone(1, -3, 0.004)];
    // 6 radians are 0.283 less than none.
    const degrees = ((6 - 2 * Math.PI) * 180) / Math.PI;
    expect(bus(stereoPhase, "right", own, other)).toEqual({
      value: expect.closeTo(degrees, 9),
      unit: "°",
      uncertainty: expect.closeTo((2 * 0.005 * 180) / Math.PI, 6),
    });
    expect(bus(stereoPhase, "left", own, other).value).toBeCloseTo(-degrees, 9);
    expect(bus(stereoPhase, "left", own, absent)).toEqual({
      absent: { code: "of-other-side", because: absent.absent },
    });
    expect(bus(stereoPhase, "left", absent, other)).toEqual(absent);
  });

  it("are apart by a bound where one has no tone: what its noise would still have shown", () => {
    // √(4e-6/0.25 s) = 0.004 is a deviation; a tone is found from 5·√2 of them, two more may hide.
    const least = 20 * Math.log10(0.5 / ((5 * Math.SQRT2 + 2) * 0.004));
    const bound = { unit: "dB", uncertainty: 6, limitedBy: "noise" };
    expect(bus(balance, "right", tone(0.5, 0, 0), absent)).toEqual({
      ...bound,
      value: expect.closeTo(least, 9),
      bound: "lower",
    });
    expect(bus(balance, "left", tone(0.5, 0, 0), absent)).toEqual({
      ...bound,
      value: expect.closeTo(-least, 9),
      bound: "upper",
    });
  });

  it("are not compared where nothing is known of the silent one", () => {
    const of = (quiet: unknown, table: object = { segments }) =>
      read(
        balance,
        { tone: tone(0.5, 0, 0), partner: { tone: () => absent, silence: () => quiet } },
        { partner: { side: "left" }, table },
      );
    expect(of(absent)).toEqual(absent);
    expect(of(silence, { segments: [] })).toEqual(absent);
    const zero = { ...silence, density: new Float64Array(300) };
    expect(of(zero)).toEqual({ absent: { code: "digital-zero", of: "one-side" } });
    const alone = read(
      balance,
      { tone: tone(1, 0, 0), partner: undefined },
      { partner: undefined },
    );
    expect(alone.absent).toBeDefined();
  });
});

test("both sides of a bus are compared where both were recorded", () => {
  for (const kind of [balance, stereoPhase]) {
    expect(kind.applies?.({ audio: { partner: undefined } } as never)).toBe(false);
    expect(kind.applies?.({ audio: { partner: { side: "left" } } } as never)).toBe(true);
  }
  const tone = { amplitudes: [1], phases: [0], variances: [0] };
  const alone = { tone: () => tone, partner: () => undefined, audio: {} };
  expect(stereoPhase.read(alone as never)).toMatchObject({ absent: { code: "of-other-side" } });
});

describe("the gain at low level", () => {
  const step = (aboveNominalDb: number, offDb: number, deviation = 0) => {
    const amplitude = 10 ** ((aboveNominalDb + offDb) / 20);
    return { aboveNominalDb, level: { amplitude, variance: (deviation * amplitude) ** 2 } };
  };
  const of = (...steps: readonly object[]) => read(linearity, { ladder: { steps } });

  it("is that of the step below nominal that differs most, up or down", () => {
    const found = of(step(-40, 0.3), step(-20, -0.5), step(0, 0), step(12, -3));
    expect(found.value).toBeCloseTo(-0.5, 9);
    expect(found.uncertainty).toBeCloseTo(5e-4, 9);
    expect(of(step(-40, 0.7), step(-20, -0.5), step(0, 0)).value).toBeCloseTo(0.7, 9);
    // Against nominal, which itself is off.
    expect(of(step(-20, -0.5), step(0, -0.2)).value).toBeCloseTo(-0.3, 9);
  });

  it("has the doubts of both steps, and of what a noisier one may hide", () => {
    const own = of(step(-20, -0.5, 0.003), step(0, 0, 0.004));
    expect(own.uncertainty).toBeCloseTo(2.02 * perNeper * 0.005, 3);
    // 0.01 is 0.175 dB at 95 %: 0.45 may be 0.625, so 0.5 is known to 0.125.
    const hidden = of(step(-40, 0.45, 0.01), step(-20, -0.5), step(0, 0));
    expect(hidden.value).toBeCloseTo(-0.5, 9);
    expect(hidden.uncertainty).toBeCloseTo(0.45 + 2.02 * perNeper * 0.01 - 0.5, 3);
  });

  it("is without the noise's share of a step's power", () => {
    // E[a] = A + v/2A: with a deviation of 0.1 an amplitude is read half a per cent high.
    const amplitude = 0.1 * (1 + 0.1 ** 2 / 2);
    const low = { aboveNominalDb: -20, level: { amplitude, variance: 1e-4 } };
    const found = of(low, step(-40, -3), step(0, 0));
    expect(found.value).toBeCloseTo(-3, 9);
    // It is off by nothing but its doubt of 1.77 dB, which is too large to count.
    expect(found.uncertainty).toBeLessThan(0.001);
  });

  it("leaves out what noise makes unsure: 0.2 dB, unless it is 1.5 times as far off", () => {
    // 0.02 is 0.351 dB at 95 %: 0.526 dB are 1.5 times that.
    const drowned: unknown = { absent: { code: "low-steps-in-noise" } };
    expect(of(step(-40, 0.52, 0.02), step(0, 0))).toEqual(drowned);
    expect(of(step(-40, 0.54, 0.02), step(0, 0)).value).toBeCloseTo(0.54, 2);
    expect(of(step(-40, -0.54, 0.02), step(0, 0)).value).toBeCloseTo(-0.54, 2);
    // 0.0113 is 0.198 dB, 0.0115 0.202.
    expect(of(step(-40, 0, 0.0113), step(0, 0)).value).toBeCloseTo(0, 2);
    expect(of(step(-40, 0, 0.0115), step(0, 0))).toEqual(drowned);
    // An amplitude five times the noise's: a deviation of 1/(5·√2) = 0.1414.
    expect(of(step(-40, -30, 0.142), step(0, 0))).toEqual(drowned);
    expect(of(step(-40, -30, 0.141), step(0, 0)).value).toBeCloseTo(-30, 0);
    expect(of(step(-40, -30), step(0, 0, 0.142))).toEqual(drowned);
  });

  it("of a step is its amplitude less the noise's share, 5·√2 deviations or more of it", () => {
    // E[a] = A + v/2A: 0.2 less 0.0004/0.4 is 0.199.
    const given = { aboveNominalDb: -20, level: { amplitude: 0.2, variance: 4e-4 } };
    expect(computeStepGain(given as never)).toEqual({
      db: expect.closeTo(20 * Math.log10(0.199) + 20, 12),
      stdDev: expect.closeTo((perNeper * 0.02) / 0.199, 12),
      heard: true,
    });
    const heard = (amplitude: number) =>
      computeStepGain({ aboveNominalDb: 0, level: { amplitude, variance: 2 } } as never).heard;
    expect([9.99, 10, 10.01].map(heard)).toEqual([false, false, true]);
  });

  it("of equal differences is the first, up or down", () => {
    expect(of(step(-40, -6), step(-20, -6), step(0, 0)).value).toBeCloseTo(-6, 9);
    // 1 where −20 dB were sent is 20 dB more, 0.001 where −40 dB were 20 dB less.
    const at = (aboveNominalDb: number, amplitude: number) => ({
      aboveNominalDb,
      level: { amplitude, variance: 0 },
    });
    expect(of(at(-20, 1), at(-40, 0.001), at(0, 1)).value).toBe(20);
    expect(of(at(-40, 0.001), at(-20, 1), at(0, 1)).value).toBe(-20);
  });

  it("is none without steps below nominal, or without that at nominal", () => {
    const lacks = { absent: { code: "not-in-signal", part: "low-steps", profile: "quick" } };
    expect(of(step(0, 0), step(12, 0))).toEqual(lacks);
    expect(of(step(-20, 0), step(12, 0))).toEqual(lacks);
    expect(read(linearity, { ladder: absent })).toEqual(absent);
  });
});

describe("where a path overloads", () => {
  /** A third harmonic of such a share, in counterphase as of a soft limit. */
  const step = (aboveNominalDb: number, third: number, variance = 0) => ({
    aboveNominalDb,
    amplitudes: Float64Array.from({ length: 20 }, (_, k) => [1, 0, third][k] ?? 0),
    phases: Float64Array.from({ length: 20 }, (_, k) => (k === 2 ? Math.PI : 0)),
    variances: Float64Array.from({ length: 20 }, (_, k) => (k === 1 || k === 2 ? variance : 0)),
    level: { amplitude: 1, variance: 0 },
  });
  const of = (steps: readonly object[], more: object = {}, tone: unknown = absent) =>
    read(headroom, { ladder: { steps, ...more }, tone, sweep: absent });

  it("is between the lowest step that distorts by 1 % and what it tells of weaker tones", () => {
    // x − k·x³ at amplitude 1: k/4 = 0.02·(1 − ¾k), and 0.01 at amplitude a with k·a².
    const k = 0.08 / (1 + 0.06);
    const a2 = 0.04 / (1 + 0.03) / k;
    const found = of([step(9, 0.002), step(12, 0.02), step(15, 0.2)].slice(1, 2));
    expect(Math.abs(found.value - (12 + lg(a2)))).toBeLessThan(found.uncertainty);
    expect(found.uncertainty).toBeLessThan(0.1);
    // A step below nominal that distorts is not asked.
    const low = of([step(-12, 0.5), step(12, 0.02)]);
    expect(low.value).toBeCloseTo(found.value, 2);
  });

  it("is unknown where none reaches it, with how far was tried", () => {
    expect(of([step(0, 0.001), step(12, 0.002)])).toEqual({
      absent: { code: "above-highest-step", aboveNominalDb: 12 },
    });
    expect(of([step(0, 0.001)], { converterClippedDb: 15 })).toEqual({
      absent: { code: "clipped-before-overload", aboveNominalDb: 15 },
    });
    expect(of([])).toEqual({ absent: { code: "above-highest-step", aboveNominalDb: 0 } });
    expect(read(headroom, { ladder: absent })).toEqual(absent);
  });

  it("is unknown where noise may hide it", () => {
    const inNoise = { absent: { code: "overload-in-noise" } };
    // Two harmonics in noise v: 2·√(4v² + 4v²) = 5.66·v. Above 1e-4 that is more than the limit.
    expect(of([step(12, 0, 1.9e-5)])).toEqual(inNoise);
    // Less, but what is read and two deviations may reach it: 0.9e-4 − 4v + 2·√(4·0.9e-4·v).
    expect(of([step(12, Math.sqrt(0.9e-4), 1e-6)])).toEqual(inNoise);
    expect(of([step(12, Math.sqrt(0.5e-4), 1e-6)])).toMatchObject({
      absent: { code: "above-highest-step" },
    });
    // A step below nominal hides nothing.
    expect(of([step(-20, Math.sqrt(0.9e-4), 1e-6), step(12, 0)])).toMatchObject({
      absent: { code: "above-highest-step" },
    });
  });

  it("is asked of the tone at nominal where all steps lie above it", () => {
    // The same curve 3 dB up: a·(1 − ¾·k·a²), and a third of k·a³/4, where 1 − ¾·k is read as 1.
    const k = 0.08 / (1 + 0.06);
    const a = 10 ** (3 / 20);
    const beyond = step(3, 0);
    beyond.amplitudes[0] = (a * (1 - 0.75 * k * a ** 2)) / (1 - 0.75 * k);
    beyond.amplitudes[2] = (k * a ** 3) / 4 / (1 - 0.75 * k);
    const found = of([beyond], {}, step(0, 0.02));
    expect(Math.abs(found.value - lg(0.04 / (1 + 0.03) / k))).toBeLessThan(found.uncertainty);
    expect(found.uncertainty).toBeLessThan(0.1);
    const own = of([step(0, 0.001), step(12, 0.02)], {}, step(0, 0.02));
    expect(own.value).toBeGreaterThan(0);
  });

  it("has no side where nothing clips", () => {
    expect(read(clipSide, { ladder: { steps: [step(12, 0)] }, tone: absent })).toEqual({
      absent: {
        code: "nothing-clips",
        because: { code: "above-highest-step", aboveNominalDb: 12 },
      },
    });
    const unsure = { ladder: { steps: [step(12, 0.1)] }, tone: absent, sweep: absent };
    expect(read(clipSide, unsure)).toEqual(absent);
  });
});

describe("the lines of the mains", () => {
  /** Amplitudes and variances of the orders given; of the others nothing. */
  const linesOf = (given: Record<number, readonly [amplitude: number, variance: number]>) => ({
    frequencyHz: 49.9,
    deviationHz: 0.01,
    amplitudes: Float64Array.from({ length: 40 }, (_, k) => given[k + 1]?.[0] ?? 0),
    variances: Float64Array.from({ length: 40 }, (_, k) => given[k + 1]?.[1] ?? 0),
    higher: [],
  });
  const sum = (kind: ReadingKind, given: Parameters<typeof linesOf>[0]) =>
    read(kind, { quiet: { lines: linesOf(given) } });

  it("are summed as powers: all of them, the odd and the even ones", () => {
    const given = { 1: [0.3, 0], 2: [0.4, 0], 39: [0.4, 0], 40: [0.3, 0] } as const;
    // 0.09 and 0.16 of either kind.
    expect(sum(hum, given)).toEqual({
      value: expect.closeTo(lg(0.5), 9),
      unit: "dBFS",
      uncertainty: 5e-4,
    });
    expect(sum(humOdd, given).value).toBeCloseTo(lg(0.25), 9);
    expect(sum(humEven, given).value).toBeCloseTo(lg(0.25), 9);
    expect(sum(humOdd, { 1: [0.3, 0], 2: [0.4, 0] }).value).toBeCloseTo(lg(0.09), 9);
    expect(sum(humEven, { 1: [0.3, 0], 2: [0.4, 0] }).value).toBeCloseTo(lg(0.16), 9);
  });

  it("are read without the noise's share, and as surely as it lets them", () => {
    // a² of A² + 2v; the deviation of A² is 2·A·√v, that of two lines √(2²·(0.16 + 0.09)·1e-6).
    const v = 1e-6;
    const given = { 1: [Math.sqrt(0.09 + 2 * v), v], 2: [Math.sqrt(0.16 + 2 * v), v] } as const;
    const found = sum(hum, given);
    expect(found.value).toBeCloseTo(lg(0.25), 9);
    const expected = 2.08 * (perNeper / 2) * ((2 * Math.sqrt(0.25 * v)) / 0.25);
    expect(found.uncertainty).toBeCloseTo(Math.hypot(5e-4, expected), 5);
  });

  it("are bounds less than 4.5 deviations above the noise", () => {
    const v = 1e-6;
    const line = (own: number) => sum(hum, { 1: [Math.sqrt((own + 2) * v), v] });
    // The deviation is 2·√(own + 1), in v: 4.5 of them are 83 of 84.9 and 81 of 78.
    expect(line(85)).not.toHaveProperty("bound");
    const bound = line(50);
    expect(bound).toMatchObject({ uncertainty: 6, limitedBy: "noise", bound: "upper" });
    // b = 50 + 2·√(4·b + 4), the deviation at the bound: 58 + √880 of v.
    expect(10 ** (bound.value / 10) / v).toBeCloseTo(58 + Math.sqrt(880), 1);
    // Of two lines the larger variance and the noise of both: b = 50 + 2·√(4·b + 4 + 1).
    const two = sum(hum, { 1: [Math.sqrt(52 * v), v], 2: [Math.sqrt(v), v / 2] });
    const b = 58 + Math.sqrt(58 ** 2 - 2480);
    expect(10 ** (two.value / 10) / v).toBeCloseTo(b, 1);
    expect(line(1)).toMatchObject({ limitedBy: "noise", bound: "upper", unit: "dBFS" });
  });

  it("are as unsure as each line's noise, its square with it", () => {
    // Two lines of 0.3 in a noise of 1e-4: 4·(0.09·1e-4 + 1e-8) each.
    const v = 1e-4;
    const a = Math.sqrt(0.09 + 2 * v);
    const found = sum(hum, { 1: [a, v], 2: [a, v] });
    const stdDev = Math.sqrt(2 * 4 * (0.09 * v + v * v));
    expect(found.uncertainty).toBeCloseTo(
      Math.hypot(5e-4, (2.08 * (perNeper / 2) * stdDev) / 0.18),
      5,
    );
  });

  it("that nothing shows are at most what may be hidden, of the orders asked for", () => {
    const hidden = (counts: (order: number) => boolean) =>
      (counts(1) ? 0.01 : 0) + (counts(2) ? 0.03 : 0);
    const of = (kind: ReadingKind) => read(kind, { quiet: { lines: undefined, hidden } });
    const bound = { unit: "dBFS", uncertainty: 6, limitedBy: "noise", bound: "upper" };
    expect(of(hum)).toEqual({ ...bound, value: expect.closeTo(lg(0.04), 9) });
    expect(of(humOdd).value).toBeCloseTo(lg(0.01), 9);
    expect(of(humEven).value).toBeCloseTo(lg(0.03), 9);
    const none = { absent: { code: "no-mains-line", mainsHz: 50, withinHz: 0.5 } };
    expect(of(mains)).toEqual(none);
    expect(read(hum, { quiet: { lines: undefined, hidden: undefined } }).value).toBe(
      Number.NEGATIVE_INFINITY,
    );
  });

  it("tell the mains frequency, and each line at its multiple of the nominal one", () => {
    const quiet = { lines: linesOf({ 1: [0.3, 1e-8], 3: [0.1, 1e-8], 4: [0, 1e-8] }) };
    expect(read(mains, { quiet })).toEqual({
      value: 49.9,
      unit: "Hz",
      uncertainty: expect.closeTo(0.0208, 12),
    });
    const curve = computeHumLines({ quiet: () => quiet, audio: { mainsHz: 50 } } as never);
    assertMade(curve);
    expect(curve.x).toEqual(Array.from({ length: 40 }, (_, k) => 50 * (k + 1)));
    expect([curve.y[0], curve.y[2]]).toEqual([
      expect.closeTo(lg(0.09), 5),
      expect.closeTo(lg(0.01), 4),
    ]);
    // Noise gives an a² of 2v.
    expect(curve.floor?.[2]).toBeCloseTo(lg(2e-8), 9);
    expect(curve.uncertainty[3]).toBe(6);
    expect(computeHumLines({ quiet: () => absent } as never)).toEqual(absent);
    for (const kind of [hum, mains]) expect(read(kind, { quiet: absent })).toEqual(absent);
  });
});

describe("a flat spectrum", () => {
  const density = 1e-9;
  const spectrum = { density: new Float64Array(24_001).fill(density), stepHz: 1, segments: 100 };
  const quiet = (more: object = {}) => ({ spectrum, lines: undefined, hidden: undefined, ...more });
  const wide = density * (22_400 - 22.4);

  it("is its density times the band, twice that against a sine at full scale", () => {
    const found = read(noise, { quiet: quiet() });
    expect(found.value).toBeCloseTo(lg(2 * wide), 3);
    expect(found).not.toHaveProperty("bound");
    expect(read(noise20k, { quiet: quiet() }).value).toBeCloseTo(lg(2 * density * 19_980), 3);
    // Only up to half the rate.
    expect(read(noise, { quiet: quiet() }, { sampleRate: 30_000 }).value).toBeCloseTo(
      lg(2 * density * (15_000 - 22.4)),
      3,
    );
    const silent = { ...spectrum, density: new Float64Array(24_001) };
    expect(read(noise, { quiet: quiet({ spectrum: silent }) })).toEqual({
      absent: { code: "digital-zero", of: "silence" },
    });
    expect(read(noise, { quiet: absent })).toEqual(absent);
  });

  it("is weighted line by line, and its doubt by the square of the weight", () => {
    expect(dataSheetBandHz).toBe(19_980);
    const silent = { ...spectrum, density: new Float64Array(24_001) };
    const lines = {
      frequencyHz: 50,
      amplitudes: Float64Array.of(0.2, 0, 0),
      variances: Float64Array.of(1e-4, 0, 3e-4),
      higher: [],
    };
    // Half of 0.04 less 1e-4, and less 3e-4 of nothing: by 3 at 50 Hz, by 9 at 150.
    const weight = (hz: number) => (3 * hz) / 50;
    const { power, stdDev } = computeNoiseBetween(
      quiet({ lines, spectrum: silent }) as never,
      20,
      20_000,
      weight,
    );
    expect(power).toBeCloseTo(3 * (0.02 - 1e-4) - 9 * 3e-4, 12);
    const first = 9 * (2 * (0.02 - 1e-4) * 1e-4 + 1e-8);
    expect(stdDev).toBeCloseTo(Math.sqrt(first + 81 * 9e-8), 12);
  });

  it("weighted by the square of frequency has what its window adds taken off", () => {
    // A window spreads a frequency by a third of a bin squared: f² is read as f² + ⅓ of a bin's square,
    // which is −1/6 of the second difference, 2.
    const coarse = { density: new Float64Array(2401).fill(0), stepHz: 10, segments: 100 };
    coarse.density[7] = 1;
    const of = (weight: (hz: number) => number, given: object = coarse) =>
      computeNoiseBetween(quiet({ spectrum: given }) as never, 20, 20_000, weight).power;
    const square = (hz: number) => hz * hz;
    expect(of(square)).toBeCloseTo(10 * (4900 - 100 / 3), 6);
    // Kept for the same spectrum, and made anew for another width or length.
    expect(of(square)).toBeCloseTo(10 * (4900 - 100 / 3), 6);
    const fine = { density: new Float64Array(2401), stepHz: 5, segments: 100 };
    fine.density[7] = 1;
    expect(of(square, fine)).toBeCloseTo(5 * (1225 - 25 / 3), 6);
    const long = { density: new Float64Array(4801), stepHz: 5, segments: 100 };
    long.density[3000] = 1;
    expect(of(square, long)).toBeCloseTo(5 * (15_000 ** 2 - 25 / 3), 3);
    // A straight weight stays as it is.
    expect(of((hz) => hz)).toBeCloseTo(700, 9);
    // A-weighting of noise at 1 kHz alone is none (IEC 61672-1).
    const at1k = { density: new Float64Array(2401), stepHz: 10, segments: 100 };
    at1k.density[100] = 1e-6;
    expect(read(noiseA, { quiet: quiet({ spectrum: at1k }) }).value).toBeCloseTo(lg(2e-5), 2);
  });

  it("has the lines of the mains within the band added, their noise taken off", () => {
    const lines = {
      frequencyHz: 22.4,
      amplitudes: Float64Array.of(0.01, 0.02),
      variances: Float64Array.of(1e-6, 2e-6),
      higher: [
        { order: 1000, amplitude: 0.01, variance: 1e-6 },
        // 22.4 Hz beyond the band.
        { order: 1001, amplitude: 1, variance: 0 },
      ],
    };
    // (1e-4 + 4e-4 + 1e-4)/2 less 4e-6.
    const own = 3e-4 - 4e-6;
    const found = read(noise, { quiet: quiet({ lines }) });
    expect(found.value).toBeCloseTo(lg(2 * (wide + own)), 3);
    // Of each 2·P·v + v²: its deviation against the sum, 1.96 of them.
    const squares = [
      [0.5e-4 - 1e-6, 1e-6],
      [2e-4 - 2e-6, 2e-6],
      [0.5e-4 - 1e-6, 1e-6],
    ].reduce((sum, [p, v]) => sum + 2 * p * v + v * v, 0);
    const share = Math.sqrt(squares) / (wide + own);
    expect(found.uncertainty / (1.96 * (perNeper / 2) * share)).toBeCloseTo(1, 1);
    expect(read(hiss, { quiet: quiet({ lines }) }).value).toBeCloseTo(lg(2 * wide), 3);
    const below = { ...lines, frequencyHz: 22.3, higher: [] };
    // The first lies below the band.
    expect(read(noise, { quiet: quiet({ lines: below }) }).value).toBeCloseTo(
      lg(2 * (wide + 2e-4 - 2e-6)),
      3,
    );
  });

  it("is a bound of the hiss where hidden lines may be more than twice its doubt", () => {
    const plain = read(hiss, { quiet: quiet() });
    const with2 = (times: number) => {
      // What leaves so many doubts less of the power, as squared peak amplitudes.
      const hidden = 2 * wide * (1 - 10 ** ((-times * plain.uncertainty) / 10));
      return read(hiss, { quiet: quiet({ hidden: () => hidden }) });
    };
    expect(with2(1.95)).toEqual(plain);
    expect(with2(2.05)).toEqual({
      ...plain,
      value: plain.value + plain.uncertainty,
      bound: "upper",
    });
  });

  it("is limited by the interface where its words alone would make half of it", () => {
    // Dither of a step s is s²/4 up to half the rate.
    const stepFor = (share: number) => Math.sqrt((4 * share * wide * 24_000) / (22_400 - 22.4));
    const by = (share: number) => read(noise, { quiet: quiet({ step: stepFor(share) }) }).limitedBy;
    expect([by(0.49), by(0.51)]).toEqual([undefined, "interface"]);
    const slope = (share: number) =>
      read(noiseSlope, { quiet: quiet({ step: Math.sqrt(4 * share * density * 24_000) }) })
        .limitedBy;
    expect([slope(0.49), slope(0.51)]).toEqual([undefined, "interface"]);
  });

  it("in third octaves is the density times a width of 23 % of the midband", () => {
    const at = (sampleRate: number) => {
      const curve = computeNoiseCurve({
        quiet: () => quiet(),
        audio: { sampleRate },
      } as never);
      assertMade(curve);
      return curve;
    };
    const { x, y } = at(48_000);
    const width = 10 ** 0.05 - 10 ** -0.05;
    x.forEach((hz, k) => {
      expect(hz).toBeCloseTo(1000 * 10 ** ((k - 16) / 10), 6);
      expect(y[k]).toBeCloseTo(lg(2 * density * width * hz), 1);
    });
    expect(x).toHaveLength(30);
    // The last reaches to 22.39 kHz.
    expect(at(44_780).x).toHaveLength(30);
    expect(at(44_760).x).toHaveLength(29);
    expect(computeNoiseCurve({ quiet: () => absent } as never)).toEqual(absent);
  });

  it("in bands has their widths, and is silent where one of them is", () => {
    const bands = computeNoiseBands(quiet() as never, 100, 200);
    const width = 10 ** 0.05 - 10 ** -0.05;
    expect(bands.map(({ hz, widthHz }) => [hz, widthHz])).toEqual(
      [-10, -9, -8, -7]
        .map((k) => 1000 * 10 ** (k / 10))
        .map((hz) => [expect.closeTo(hz, 9), expect.closeTo(width * hz, 9)]),
    );
    const hole = { ...spectrum, density: spectrum.density.slice().fill(0, 880, 1130) };
    const given = { quiet: () => quiet({ spectrum: hole }), audio: { sampleRate: 48_000 } };
    expect(computeNoiseCurve(given as never)).toEqual({
      absent: { code: "digital-zero", of: "silence" },
    });
  });

  it("has a slope as sure as its bands let it: weights by width, shared edges", () => {
    // By the definition: a straight line in octaves through bands of widths w, weighted by them.
    const doubtOf = (segments: number) =>
      read(noiseSlope, { quiet: quiet({ spectrum: { ...spectrum, segments } }) }).uncertainty;
    // A hundred times the averages, a tenth of the doubt.
    expect(doubtOf(10_000) / doubtOf(1_000_000)).toBeCloseTo(10, 1);
    const bands = computeNoiseBands(quiet() as never, 25, 400);
    const all = bands.reduce((sum, { widthHz }) => sum + widthHz, 0);
    const octaves = bands.map(({ hz }) => Math.log2(hz));
    const middle = bands.reduce((sum, { widthHz }, k) => sum + widthHz * octaves[k], 0) / all;
    let [spread, squares] = [0, 0];
    bands.forEach(({ widthHz, power, stdDev }, k) => {
      const away = octaves[k] - middle;
      spread += widthHz * away ** 2;
      squares += (widthHz * away * 1.96 * (perNeper / 2) * (stdDev / power)) ** 2;
    });
    const alone = Math.sqrt(squares) / spread;
    // Neighbours share the bins at their edges, which makes it a little more.
    const found = doubtOf(100);
    expect(found / alone).toBeGreaterThan(0.95);
    expect(found / alone).toBeLessThan(1.4);
  });

  it("falls by none, one of 1/f by 3.01 dB an octave", () => {
    const fine = (of: (hz: number) => number) => ({
      density: Float64Array.from({ length: 4001 }, (_, k) => of(Math.max(1, k) / 8)),
      stepHz: 1 / 8,
      segments: 1000,
    });
    const slope = (of: (hz: number) => number) =>
      read(noiseSlope, { quiet: quiet({ spectrum: fine(of) }) });
    expect(slope(() => 1e-9).value).toBeCloseTo(0, 3);
    expect(slope((hz) => 1e-9 / hz).value).toBeCloseTo(-lg(2), 1);
    expect(slope((hz) => 1e-9 * hz).value).toBeCloseTo(lg(2), 1);
    expect(slope((hz) => (hz > 100 ? 0 : 1e-9))).toEqual({
      absent: { code: "digital-zero", of: "silence" },
    });
    expect(read(noiseSlope, { quiet: absent })).toEqual(absent);
  });
});

test("a stray tone has twice its power against a sine at full scale, and its own doubts", () => {
  const tone = { power: 1e-6, stdDev: 1e-8, hz: 3000, deviationHz: 0.06 };
  const of = (kind: ReadingKind, steadyTone: unknown, step?: number) =>
    read(kind, { quiet: { step, spectrum: {} }, steadyTone });
  expect(of(strayTone, tone)).toEqual({
    value: expect.closeTo(lg(2e-6), 9),
    unit: "dBFS",
    // A per cent of power, 1.96·4.343·0.01, and 0.05 dB.
    uncertainty: expect.closeTo(Math.hypot(0.05, 1.96 * (perNeper / 2) * 0.01), 4),
  });
  expect(of(strayToneFrequency, tone)).toEqual({
    value: 3000,
    unit: "Hz",
    uncertainty: expect.closeTo(0.13, 12),
  });
  // A sine of a step without dither becomes a square, whose third is (4/3π)²/2 = 0.0901.
  expect(of(strayTone, tone, Math.sqrt(1e-6 / 0.0902)).limitedBy).toBeUndefined();
  expect(of(strayTone, tone, Math.sqrt(1e-6 / 0.09)).limitedBy).toBe("interface");
  expect(of(strayToneFrequency, undefined)).toEqual({ absent: { code: "no-stray-tone" } });
  for (const kind of [strayTone, strayToneFrequency]) expect(of(kind, absent)).toEqual(absent);
  expect(read(strayTone, { quiet: absent })).toEqual(absent);
  // Where none is found in noise, the most that is hidden: the more noise, the more, as a power.
  const hiddenIn = (density: number) =>
    read(strayTone, {
      quiet: {
        spectrum: { density: new Float64Array(4001).fill(density), stepHz: 3, segments: 10 },
      },
      steadyTone: undefined,
    });
  expect(hiddenIn(1e-12)).toMatchObject({
    unit: "dBFS",
    uncertainty: 6,
    limitedBy: "noise",
    bound: "upper",
  });
  expect(hiddenIn(1e-10).value - hiddenIn(1e-12).value).toBeCloseTo(20, 6);
  const silent = { density: new Float64Array(4001), stepHz: 3, segments: 10 };
  expect(read(strayTone, { quiet: { spectrum: silent }, steadyTone: undefined })).toEqual({
    absent: { code: "digital-zero", of: "silence" },
  });
});
