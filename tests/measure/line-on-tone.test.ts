import { describe, expect, it } from "vitest";
import { createMersenneTwister } from "../../src/dsp/random.js";
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
