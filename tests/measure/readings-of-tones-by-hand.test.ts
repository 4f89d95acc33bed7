import { describe, expect, it } from "vitest";
import type { Absent } from "../../src/measure/absence.js";
import type { ReadingKind } from "../../src/measure/reading-kind.js";
import { imd, imd2, imd3 } from "../../src/measure/readings/difference-frequency.js";
import {
  compression,
  harmonics,
  thd,
  thd100,
  thdHot,
  thdN,
} from "../../src/measure/readings/distortion.js";
import { computeEquivalentInputNoise, ein } from "../../src/measure/readings/ein.js";
import type { Reading } from "../../src/measure/types.js";

// Expected: worked by hand from the amplitudes that each context gives; no audio is made. A small
// relative deviation x of an amplitude is 8.686·x dB, of a power half of that.

const perNeper = 20 / Math.LN10;
const lg = (power: number) => 10 * Math.log10(power);
const absent = { absent: { code: "converter-clipped" } } as const;

/** A context that gives these; `audio` at 48 kHz where nothing else is said. */
function read(kind: ReadingKind, gives: Record<string, unknown>, sampleRate = 48_000) {
  const context = Object.fromEntries(
    Object.entries(gives).map(([name, value]) => [name, () => value]),
  );
  return kind.read({ quiet: () => absent, ...context, audio: { sampleRate } } as never) as Reading &
    Absent;
}

/** Ten amplitudes: those given by order, of the others nothing. */
function toneOf(
  given: Record<number, number>,
  { frequencyHz = 1000, variances = {} as Record<number, number>, ...more } = {},
) {
  const ten = (of: Record<number, number>) =>
    Float64Array.from({ length: 10 }, (_, k) => of[k + 1] ?? 0);
  return { frequencyHz, amplitudes: ten(given), variances: ten(variances), ...more };
}

describe("harmonics of a tone", () => {
  it("are summed as powers from the second to the tenth, against the first", () => {
    // 0.3² + 0.4² = 0.5²; the first does not count.
    const found = read(thd, { tone: toneOf({ 1: 10, 2: 0.3, 10: 0.4 }) });
    expect(found).toEqual({ value: expect.closeTo(lg(0.0025), 9), unit: "dB", uncertainty: 0.01 });
    // Every one of nine, a tenth each.
    const all = Object.fromEntries(Array.from({ length: 9 }, (_, k) => [k + 2, 0.1]));
    expect(read(thd, { tone: toneOf({ 1: 1, ...all }) }).value).toBeCloseTo(lg(0.09), 9);
  });

  it("are summed without the noise's share, 2v each", () => {
    const tone = toneOf({ 1: 1, 2: 0.1, 3: 0.1 }, { variances: { 2: 1e-6, 3: 2e-6 } });
    expect(read(thd, { tone }).value).toBeCloseTo(lg(0.02 - 6e-6), 9);
  });

  it("count up to 20 kHz and no further", () => {
    // Of 2.5 kHz the eighth lies at 20 kHz; of 2501 Hz the seventh is the last.
    const at = (frequencyHz: number) =>
      read(thd, { tone: toneOf({ 1: 1, 7: 0.03, 8: 0.04, 9: 0.5 }, { frequencyHz }) }).value;
    expect(at(2500)).toBeCloseTo(lg(0.0025), 9);
    expect(at(2501)).toBeCloseTo(lg(0.0009), 9);
  });

  it("are those of the tone at 100 Hz, and of the step 12 dB above nominal", () => {
    const asked: unknown[] = [];
    const context = {
      tone: (name: string) => {
        asked.push(name);
        return toneOf({ 1: 1, 2: 0.1 }, { frequencyHz: 100 });
      },
      step: (aboveNominalDb: number) => {
        asked.push(aboveNominalDb);
        return toneOf({ 1: 1, 3: 0.01 });
      },
    } as never;
    const values = [thd, thd100, thdHot].map((kind) => (kind.read(context) as Reading).value);
    expect(asked).toEqual(["tone-1k", "tone-100", 12]);
    expect(values).toEqual([-20, -20, -40].map((db) => expect.closeTo(db, 9)));
    for (const kind of [thd, thd100, thdN]) expect(read(kind, { tone: absent })).toEqual(absent);
    expect(read(thdHot, { step: absent })).toEqual(absent);
  });

  it("stand each for themselves, up to 20 kHz", () => {
    const given = Object.fromEntries(Array.from({ length: 10 }, (_, k) => [k + 1, 10 ** -k]));
    const variances = { 2: 1e-6 };
    const of = (frequencyHz: number) =>
      harmonics.map((kind) => read(kind, { tone: toneOf(given, { frequencyHz, variances }) }));
    expect(harmonics.map(({ id, own }) => [id, own])).toEqual(
      Array.from({ length: 9 }, (_, k) => [`harmonic${k + 2}`, { adds: "phase", rise: k + 1 }]),
    );
    const ten = of(1000);
    // 0.1² less twice the variance, and 20 dB less for each order.
    expect(ten[0].value).toBeCloseTo(lg(0.01 - 2e-6), 9);
    expect(ten.slice(1).map(({ value }) => value)).toEqual(
      Array.from({ length: 8 }, (_, k) => expect.closeTo(-20 * (k + 2), 9)),
    );
    const fewer = of(2500);
    expect(fewer[6].value).toBeCloseTo(-140, 9);
    expect(fewer.slice(7)).toEqual(
      [9, 10].map((order) => ({ absent: { code: "harmonic-beyond-band", order } })),
    );
  });
});

describe("distortion and noise", () => {
  const density = 1e-9;
  /** So many averages that the noise itself is known. */
  const rest = { density: new Float64Array(2401).fill(density), stepHz: 10, segments: 1e12 };
  const hiss = density * (20_000 - 20);
  const value = (power: number, amplitude = 0.5) => lg(power / (amplitude ** 2 / 2));

  it("are noise from 20 Hz to 20 kHz and half the square of each harmonic, against the tone's", () => {
    const tone = toneOf({ 1: 0.5, 2: 0.004, 10: 0.003 }, { rest } as never);
    // (16e-6 + 9e-6)/2.
    expect(read(thdN, { tone })).toEqual({
      value: expect.closeTo(value(hiss + 12.5e-6), 6),
      unit: "dB",
      uncertainty: 0.01,
    });
    const high = toneOf({ 1: 0.5, 7: 0.004, 8: 0.003, 9: 0.4 }, {
      rest,
      frequencyHz: 2500,
    } as never);
    expect(read(thdN, { tone: high }).value).toBeCloseTo(value(hiss + 12.5e-6), 6);
    const silent = { ...rest, density: new Float64Array(2401) };
    expect(read(thdN, { tone: toneOf({ 1: 1 }, { rest: silent } as never) }).value).toBeLessThan(
      -3000,
    );
  });

  it("are the less sure by what noise does to each harmonic, and to the tone", () => {
    // var(a²/2) = A²·v: 16e-6·4e-6 and 9e-6·1e-6, the root of 73e-12.
    const tone = toneOf({ 1: 0.5, 2: 0.004, 3: 0.003 }, {
      rest,
      variances: { 2: 4e-8, 3: 1e-8 },
    } as never);
    const total = hiss + 12.5e-6;
    const spread = Math.sqrt(16e-6 * 4e-8 + 9e-6 * 1e-8);
    const doubt = 1.96 * (perNeper / 2) * (spread / total);
    expect(read(thdN, { tone }).uncertainty / doubt).toBeCloseTo(1, 2);
    // 0.003 of the tone, two deviations of it.
    const loud = toneOf({ 1: 0.5, 2: 0.004 }, { rest, variances: { 1: 0.0015 ** 2 } } as never);
    expect(read(thdN, { tone: loud }).uncertainty).toBeCloseTo(2 * perNeper * 0.003, 6);
  });

  it("take a line that lies on the tone as the silence shows it", () => {
    const spectrum = { ...rest, density: rest.density.map((d) => 2 * d) };
    const withoutLine = { spectrum, lines: { power: 30e-6, stdDev: 3e-7 } };
    const tone = toneOf({ 1: 0.5 }, { rest, withoutLine } as never);
    const total = 2 * hiss + 30e-6;
    const found = read(thdN, { tone });
    expect(found.value).toBeCloseTo(value(total), 6);
    const doubt = 1.96 * (perNeper / 2) * (3e-7 / total);
    expect(found.uncertainty / doubt).toBeCloseTo(1, 2);
  });

  it("are limited by the interface where its words alone would make half of them", () => {
    const tone = toneOf({ 1: 0.5 }, { rest } as never);
    // Dither of a step s is s²/4 up to half the rate; the band ends there too.
    const by = (share: number, rate: number, top: number) => {
      const power = density * (20_000 - 20);
      const step = Math.sqrt((4 * share * power * (rate / 2)) / (top - 20));
      return read(thdN, { tone, quiet: { step } }, rate).limitedBy;
    };
    expect([by(0.49, 48_000, 20_000), by(0.51, 48_000, 20_000)]).toEqual([undefined, "interface"]);
    expect([by(0.49, 32_000, 16_000), by(0.51, 32_000, 16_000)]).toEqual([undefined, "interface"]);
    expect(read(thdN, { tone, quiet: { step: undefined } })).not.toHaveProperty("limitedBy");
    expect(read(thdN, { tone, quiet: absent })).not.toHaveProperty("limitedBy");
  });
});

describe("the level of the hot step", () => {
  const of = (high: unknown, low: unknown) => read(compression, { step: high, tone: low });

  it("is what is missing of 12 dB, as surely as noise in both and settling let it be known", () => {
    const found = of(
      toneOf({ 1: 0.5 }, { variances: { 1: 0.0015 ** 2 } }),
      toneOf({ 1: 0.25 }, { variances: { 1: 0.001 ** 2 } }),
    );
    // Twice the amplitude is 6.02 dB; 0.003 and 0.004 are 0.005.
    const value = lg(4) - 12;
    expect(found).toEqual({
      value: expect.closeTo(value, 12),
      unit: "dB",
      uncertainty: expect.closeTo(Math.hypot(2e-5, 3e-4 * value, 2 * perNeper * 0.005), 9),
    });
    // Without noise 0.3 thousandths of the squeeze are left.
    const quiet = of(toneOf({ 1: 0.5 }), toneOf({ 1: 0.25 }));
    expect(quiet.uncertainty).toBeCloseTo(Math.hypot(2e-5, 3e-4 * value), 9);
  });

  it("is none without either of both", () => {
    expect(of(absent, toneOf({ 1: 1 }))).toEqual(absent);
    expect(of(toneOf({ 1: 1 }), absent)).toEqual(absent);
  });
});

describe("difference tones", () => {
  const line = (amplitude: number, variance = 0) => ({ amplitude, variance });
  const twin = (second: readonly object[], third: readonly object[]) => ({
    twin: { second, third, low: line(0.4), high: line(0.6) },
  });
  const both = (second: readonly object[], third: readonly object[]) =>
    [imd, imd2, imd3].map((kind) => read(kind, twin(second, third)).value);

  it("stand against the sum of both tones: the second order, and the sum of the third's", () => {
    // 0.03; 0.01 + 0.03; both as powers: 0.05.
    expect(both([line(0.03)], [line(0.01), line(0.03)])).toEqual(
      [0.05, 0.03, 0.04].map((one) => expect.closeTo(20 * Math.log10(one), 9)),
    );
  });

  it("of the third order count twice where the upper one lies beyond the rate", () => {
    expect(both([line(0.03)], [line(0.02)])).toEqual(
      [0.05, 0.03, 0.04].map((one) => expect.closeTo(20 * Math.log10(one), 9)),
    );
    // a² of A² + 2v, so that noise of v leaves 0.02 of it, and doubles with the amplitude.
    const v = 1e-6;
    const noisy = read(imd3, twin([], [line(Math.sqrt(0.02 ** 2 + 2 * v), v)]));
    expect(noisy.value).toBeCloseTo(20 * Math.log10(0.04), 9);
    // Two deviations 2·2·A·√v with A = 0.04 and 4v.
    const share = (2 * Math.sqrt(4 * 0.04 ** 2 * 4 * v + 4 * (4 * v) ** 2)) / 0.04 ** 2;
    expect(noisy.uncertainty).toBeCloseTo(-lg(1 - share), 9);
  });

  it("are summed without the noise under each", () => {
    const v = 1e-6;
    const noisy = [0.01, 0.03].map((own) => line(Math.sqrt(own ** 2 + 2 * v), v));
    const found = read(imd3, twin([], noisy));
    expect(found.value).toBeCloseTo(20 * Math.log10(0.04), 9);
    // Both variances in one amplitude of 0.04.
    const share = (2 * Math.sqrt(4 * 0.04 ** 2 * 2 * v + 4 * (2 * v) ** 2)) / 0.04 ** 2;
    expect(found.uncertainty).toBeCloseTo(-lg(1 - share), 9);
    // One that noise alone may be adds nothing, and is no number missing.
    const one = read(imd3, twin([], [line(0.04), line(1e-4, 1e-6)]));
    expect(one.value).toBeCloseTo(20 * Math.log10(0.04), 6);
  });

  it("are none without the tones", () => {
    for (const kind of [imd, imd2, imd3]) expect(read(kind, { twin: absent })).toEqual(absent);
  });
});

describe("equivalent input noise", () => {
  const dbfs = (value: number, uncertainty: number, more: object = {}): Reading => ({
    value,
    unit: "dBFS",
    uncertainty,
    ...more,
  });
  const fed = { input: {}, socketDbu: -40, socketDb: 0.12, sourceOhm: 150 } as never;
  const [noise20k, level] = [dbfs(-103, 0.03), dbfs(-18, 0.04)];

  it("is the noise less the level, from the level at the socket", () => {
    // 0.03, 0.04 and 0.12 are 0.13.
    expect(computeEquivalentInputNoise({ noise20k, level }, fed)).toEqual({
      value: -125,
      unit: "dBu",
      uncertainty: expect.closeTo(0.13, 12),
      common: 0.12,
    });
    const shared = { noise20k: { ...noise20k, common: 0.05, limitedBy: "interface" }, level };
    expect(computeEquivalentInputNoise(shared as never, fed)).toMatchObject({
      common: expect.closeTo(0.13, 12),
      limitedBy: "interface",
    });
  });

  it("is no less than its source's own: √(4·k·T·R·B), 150 Ω in 19.98 kHz at room temperature", () => {
    // 0.22 µV, −130.9 dBu (data sheets, from memory).
    const at = (dbu: number, more: object = {}) =>
      computeEquivalentInputNoise({ noise20k: dbfs(dbu + 22, 0.03, more), level }, fed);
    expect(at(-130.6)).toMatchObject({ value: expect.closeTo(-130.6, 9) });
    // Not further below than its doubt of 0.13 dB.
    expect(at(-131)).toMatchObject({ value: expect.closeTo(-131, 9) });
    const below = at(-133) as Absent;
    expect(below.absent).toEqual({
      code: "below-thermal-noise",
      belowDb: expect.closeTo(2.1, 1),
      sourceOhm: 150,
    });
    // A bound may lie anywhere.
    expect(at(-133, { bound: "upper" })).toMatchObject({ value: expect.closeTo(-133, 9) });
  });

  it("is none without a source, a noise or a level", () => {
    const unknown = { input: {}, socketDbu: -40, socketDb: 0.12 } as never;
    expect(computeEquivalentInputNoise({ noise20k, level }, unknown)).toBeUndefined();
    expect(computeEquivalentInputNoise({ level }, fed)).toEqual({
      absent: { code: "without-noise" },
    });
    expect(computeEquivalentInputNoise({ noise20k }, fed)).toEqual({
      absent: { code: "without-level" },
    });
    expect(ein.applies?.({} as never)).toBe(false);
    expect(read(ein, {})).toEqual({ absent: { code: "uncalibrated" } });
  });
});
