import { describe, expect, it } from "vitest";
import { createMersenneTwister } from "../../src/dsp/random.js";
import { replaceAroundTone } from "../../src/measure/line-on-tone.js";
import { thdN } from "../../src/measure/readings/distortion.js";
import { level } from "../../src/measure/readings/level.js";
import { findSegment } from "../../src/measure/return-audio.js";
import { createReturnContext } from "../../src/measure/return-context.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { assertMade } from "../helpers/made.js";
import { gaussian } from "../helpers/noise.js";
import { makeSamples } from "../helpers/samples.js";
import { slow } from "../helpers/slow.js";

const rate = 48_000;
const table = buildSignalTable("quick", "base");
const sine = (hz: number, peak: number, t: number, turn = 0) =>
  peak * Math.sin(2 * Math.PI * (hz * t + turn));

/** Silence and tone in white noise with mains lines of 49.93 Hz; amplitudes by order. */
function toneUnder(lines: Readonly<Record<number, number>>, seed: number) {
  const tone = findSegment(table, "tone", "tone-1k");
  if (!tone) throw new Error("no tone");
  const normal = gaussian(seed);
  const samples = makeSamples(Math.ceil(table.lengthS * rate), (n) => {
    const t = n / rate;
    const plays = t >= tone.startS && t < tone.startS + tone.lengthS;
    const hum = Object.entries(lines).reduce(
      (sum, [order, a]) => sum + sine(Number(order) * 49.93, a, t, 0.13 * Number(order) * seed),
      0,
    );
    return (plays ? sine(1000, 0.1, t) : 0) + noise * normal() + hum;
  });
  return createReturnContext({
    samples,
    origin: 0,
    clock: rate,
    sampleRate: rate,
    table,
    mainsHz: 50,
  });
}
const noise = 1e-5;
const seeds = [1, 2, 3, 4, 5, 6, 7, 8];

describe("a line of the mains on the 1 kHz tone", () => {
  // 998.6 Hz, the 20th of 49.93 Hz: less than a cycle beside the tone over its length
  const lines = { 1: 3e-4, 3: 3e-4, 20: 1e-4 };

  it("is part of distortion and noise, whatever its phase against the tone", slow, () => {
    // closed form: powers of noise in 20 Hz to 20 kHz and of the lines, against the tone's
    const power =
      (noise ** 2 * (20_000 - 20)) / (rate / 2) +
      Object.values(lines).reduce((sum, a) => sum + a ** 2 / 2, 0);
    const truth = 10 * Math.log10(power / (0.1 ** 2 / 2));
    for (const seed of seeds) {
      const reading = thdN.read(toneUnder(lines, seed));
      assertMade(reading);
      expect(Math.abs(reading.value - truth), `seed ${seed}`).toBeLessThan(reading.uncertainty);
      expect(reading.uncertainty).toBeLessThan(0.3);
    }
  });

  it("is in the doubt of the level and no more", () => {
    // At most 0.001 of the tone: 0.0087 dB
    for (const seed of seeds) {
      const reading = level.read(toneUnder(lines, seed));
      assertMade(reading);
      const off = Math.abs(reading.value + 20);
      expect(off, `seed ${seed}`).toBeLessThan(reading.uncertainty);
      expect(reading.uncertainty).toBeLessThan(0.009);
    }
  });

  it("leaves the spectrum alone where no line lies so near", () => {
    const tone = toneUnder({ 1: 3e-4, 19: 1e-4, 21: 1e-4 }, 1).tone("tone-1k");
    assertMade(tone);
    // the 20th is not in the hum, so what was fitted there is noise at most
    const { withoutLine } = tone;
    expect(withoutLine?.lines.power ?? 0).toBeLessThan(1e-13);
    const none = toneUnder({}, 1).tone("tone-1k");
    assertMade(none);
    expect(none.withoutLine).toBeUndefined();
  });
});

describe("distortion and noise in words of 16 bits", () => {
  it.each([
    [1e-5, "interface"],
    [3e-5, undefined],
  ])("of noise %d is limited by %s", (rms, limit) => {
    // closed form: dither has q²/4, so 1.53e-5 r.m.s. (Lipshitz, Wannamaker, Vanderkooy 1992)
    const { audio } = toneUnder({}, 5);
    const [normal, random] = [gaussian(7), createMersenneTwister(7)];
    const q = 2 ** -15;
    const dither = () => random.uniform() + random.uniform() - 1;
    const samples = audio.samples.map((x) => q * Math.round((x + rms * normal()) / q + dither()));
    const reading = thdN.read(createReturnContext({ ...audio, samples }));
    assertMade(reading);
    expect(reading.limitedBy).toBe(limit);
  });
});

describe("what is around a tone on a line", () => {
  const lines = (more: object = {}) =>
    ({
      frequencyHz: 100,
      amplitudes: Float64Array.of(0.1, 0.2, 0.3, 0.4),
      variances: Float64Array.of(0, 0, 0, 0.01),
      higher: [{ order: 9, amplitude: 0.6, variance: 0.02 }],
      ...more,
    }) as never;
  const spectrumOf = (at: (bin: number) => number, stepHz = 1, length = 1200) => ({
    density: makeSamples(length, at),
    stepHz,
    segments: 10,
  });
  const flat = spectrumOf(() => 1);
  const bins = (density: Float64Array, found: (value: number) => boolean) =>
    Array.from(density.keys()).filter((k) => found(density[k]));

  it("is the mean beside both, 150 Hz to either side, without other lines", () => {
    // The tone at 403 Hz, the line at 400 Hz: less than 2.5 bins from either. The fifth line is not
    // among those that were looked for.
    const isAround = (k: number) => k >= 398 && k <= 405;
    const counts = (k: number) =>
      k >= 253 && k <= 553 && !isAround(k) && !(k >= 298 && k <= 302) && k !== 0;
    const rest = spectrumOf((k) => (counts(k) ? (k === 253 || k === 553 ? 50 : 1) : 1e6));
    const count = Array.from({ length: 1200 }, (_, k) => k).filter(counts).length;
    const found = replaceAroundTone(rest, lines(), 403, 1);
    const mean = (count + 2 * 49) / count;
    expect(found?.spectrum).toMatchObject({ stepHz: 1, segments: 10 });
    found?.spectrum.density.forEach((one, k) => {
      expect(one, `bin ${k}`).toBeCloseTo(isAround(k) ? mean : rest.density[k], 9);
    });
  });

  it("is looked for by bins of any width, and within the spectrum", () => {
    // Of 2 Hz: 398 to 404 Hz, which are bins 199 to 202, and one on either side of half a bin.
    const two = replaceAroundTone(
      spectrumOf((k) => k, 2),
      lines(),
      403,
      1,
    );
    const density = two?.spectrum.density ?? new Float64Array();
    expect(bins(density, (one) => !Number.isInteger(one) || one === 0)).toEqual([
      0, 198, 199, 200, 201, 202, 203,
    ]);
    // 150 Hz to either side are 75 bins of 2 Hz, and lines are passed over by their frequency.
    const isLine = (k: number) => k >= 148 && k <= 152;
    const far = spectrumOf((k) => (k < 127 || k > 277 ? 1e6 : isLine(k) ? 500 : 1), 2);
    expect(replaceAroundTone(far, lines(), 403, 1)?.spectrum.density[200]).toBe(1);
    // The first and the last bin are no noise.
    const low = spectrumOf((k) => (k === 0 || k === 299 ? 1e6 : 1), 1, 300);
    const first = replaceAroundTone(low, lines(), 101, 1)?.spectrum.density ?? new Float64Array();
    expect(first[100]).toBe(1);
    const last = replaceAroundTone(low, lines(), 201, 1)?.spectrum.density ?? new Float64Array();
    expect(last[200]).toBe(1);
  });

  it("has the line's power as the silence shows it, and its deviation", () => {
    // 0.4²/2 less 0.01; √(2·0.07·0.01 + 0.01²).
    expect(replaceAroundTone(flat, lines(), 400, 1)?.lines).toEqual({
      power: expect.closeTo(0.07, 12),
      stdDev: expect.closeTo(Math.sqrt(0.0015), 12),
    });
    // 0.6²/2 less 0.02 of one that is far above the others.
    expect(replaceAroundTone(flat, lines(), 900, 1)?.lines).toEqual({
      power: expect.closeTo(0.16, 12),
      stdDev: expect.closeTo(Math.sqrt(2 * 0.16 * 0.02 + 0.02 ** 2), 12),
    });
    expect(replaceAroundTone(flat, lines(), 101, 1)?.lines.power).toBeCloseTo(0.005, 12);
    // None that noise alone may be.
    const weak = lines({ variances: Float64Array.of(0, 0, 0, 0.1) });
    expect(replaceAroundTone(flat, weak, 400, 1)?.lines).toEqual({
      power: 0,
      stdDev: expect.closeTo(0.1, 12),
    });
  });

  it("stays where no line is within four cycles, or nothing is beside", () => {
    const at = (hz: number, seconds: number) => replaceAroundTone(flat, lines(), hz, seconds);
    expect(at(402, 2)).toBeDefined();
    expect(at(398, 2)).toBeDefined();
    expect(at(402, 2.01)).toBeUndefined();
    expect(at(398, 2.01)).toBeUndefined();
    // There is no line 8, and none at 0 Hz.
    expect(at(800, 1)).toBeUndefined();
    expect(at(1, 1)).toBeUndefined();
    expect(replaceAroundTone(flat, undefined, 400, 1)).toBeUndefined();
    const wide = spectrumOf(() => 1, 100, 7);
    expect(replaceAroundTone(wide, lines(), 300, 1)).toBeUndefined();
  });
});
