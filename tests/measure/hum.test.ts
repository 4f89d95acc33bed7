import { describe, expect, it } from "vitest";
import { isReading, type ReadingKind } from "../../src/measure/reading-kind.js";
import { computeHumLines, hum, humEven, humOdd, mains } from "../../src/measure/readings/hum.js";
import { hiss, noise } from "../../src/measure/readings/noise.js";
import { createReturnContext } from "../../src/measure/return-context.js";
import type { Reading } from "../../src/measure/types.js";
import { assertMade } from "../helpers/made.js";
import { gaussian } from "../helpers/noise.js";
import { type QuietOptions, quietReturn } from "../helpers/quiet-return.js";
import { slow } from "../helpers/slow.js";

/** Peak amplitudes of lines 1, 2, … */
type Lines = readonly number[];

function silence(hz: number, lines: Lines, noiseRms: number, seed: number, options?: QuietOptions) {
  const next = gaussian(seed);
  const phases = lines.map(() => 2 * Math.PI * Math.abs(next()));
  return createReturnContext(
    quietReturn(
      (t) =>
        lines.reduce(
          (sum, a, k) => sum + a * Math.sin(2 * Math.PI * (k + 1) * hz * t + phases[k]),
          noiseRms * next(),
        ),
      options,
    ),
  );
}

function made(kind: ReadingKind, context: ReturnType<typeof silence>): Reading {
  const reading = kind.read(context);
  assertMade(reading);
  return reading;
}

/** Level of lines together, a full-scale sine being 0 dBFS. */
const level = (lines: Lines) => 10 * Math.log10(lines.reduce((sum, a) => sum + a * a, 0));
const typical: Lines = [1e-4, 3e-5, 5e-5, 0, 2e-5, 1e-5, 1e-5, 3e-6, 5e-6, 1e-5];

describe("hum", () => {
  it.each([
    [50, 49.87, "standard", 48_000],
    [50, 50.31, "quick", 44_100],
    [60, 60.13, "quick", 48_000],
    [60, 59.62, "standard", 96_000],
  ] as const)(
    "finds a mains of about %i Hz at %f Hz within 0.01 Hz (%s, %i Hz)",
    (mainsHz, hz, profile, sampleRate) => {
      // closed form: the frequency put in; lines 26 dB above −100 dBFS of noise
      const context = silence(hz, typical, 1e-5, 4, { mainsHz, profile, sampleRate });
      const reading = made(mains, context);
      expect(Math.abs(reading.value - hz)).toBeLessThan(0.01);
      expect(reading.uncertainty).toBeLessThan(0.01);
      expect(Math.abs(reading.value - hz)).toBeLessThan(1.5 * reading.uncertainty);
    },
  );

  it("is none of an offset's, however large", () => {
    // A constant has no line: 0.14 of full scale moves none, though the weakest lies 130 dB below it.
    const lines: Lines = [6e-6, 0, 2e-6, 0, 1e-6];
    const of = (offset: number) =>
      createReturnContext(
        quietReturn(
          (
            (next) => (t: number) =>
              lines.reduce(
                (sum, a, k) => sum + a * Math.sin(2 * Math.PI * (k + 1) * 60.01 * t),
                offset + 6e-6 * next(),
              )
          )(gaussian(23)),
          { mainsHz: 60, profile: "standard", sampleRate: 48_000 },
        ),
      );
    const [without, with14] = [of(0), of(0.14)].map((context) => [
      made(hum, context).value,
      made(humEven, context).value,
      made(hiss, context).value,
    ]);
    with14.forEach((db, k) => {
      expect(Math.abs(db - without[k])).toBeLessThan(0.005);
    });
  });

  it("reads each of 40 lines to the tenth of a decibel", () => {
    // closed form: the amplitudes put in; the noise lies 37 dB below the weakest in 1/T
    const lines: Lines = Array.from({ length: 40 }, (_, k) => 1e-4 / (k + 1));
    const curve = computeHumLines(silence(50.07, lines, 1e-6, 5));
    assertMade(curve);
    expect(curve.x).toEqual(lines.map((_, k) => 50 * (k + 1)));
    curve.y.forEach((db, k) => {
      expect(Math.abs(db - 20 * Math.log10(lines[k])), `line ${k + 1}`).toBeLessThan(0.1);
      expect(curve.uncertainty[k]).toBeLessThan(0.1);
      expect(curve.floor?.[k]).toBeLessThan(db);
    });
  });

  it("sums all lines, the odd ones and the even ones", () => {
    // closed form: Σ a² over the lines put in
    const context = silence(49.95, typical, 1e-6, 7);
    expect(made(hum, context).value).toBeCloseTo(level(typical), 1);
    expect(made(humOdd, context).value).toBeCloseTo(
      level(typical.filter((_, k) => k % 2 === 0)),
      1,
    );
    expect(made(humEven, context).value).toBeCloseTo(
      level(typical.filter((_, k) => k % 2 === 1)),
      1,
    );
  });

  it("finds rectifier ripple that has no line at the mains itself", () => {
    const context = silence(50.02, [0, 4e-5, 0, 2e-5, 0, 1e-5], 3e-6, 9);
    expect(Math.abs(made(mains, context).value - 50.02)).toBeLessThan(0.01);
    expect(made(humOdd, context)).toMatchObject({ limitedBy: "noise" });
    expect(made(humEven, context).limitedBy).toBeUndefined();
  });

  it("says that no line stands out, and how strong one may be at most", () => {
    const context = silence(50, [], 1e-4, 11);
    expect(mains.read(context)).toEqual({
      absent: { code: "no-mains-line", mainsHz: 50, withinHz: 0.5 },
    });
    const reading = made(hum, context);
    expect(reading).toMatchObject({ limitedBy: "noise", bound: "upper" });
    // closed form: the sum over 40 lines of a², each 2·S/T on average in noise, scatters by √40 times
    // that; at the best of some hundred frequencies it lies three or four of these higher, and the
    // bound two more. S = σ²/24 kHz, T = 2.9 s, 1.5 times for the window.
    const expected = 10 * Math.log10((2 * 1.5 * 5.5 * Math.sqrt(40) * (1e-8 / 24_000)) / 2.9);
    expect(Math.abs(reading.value - expected)).toBeLessThan(3);
  });

  it("does not take a whistle at 1003 Hz for the mains", () => {
    const next = gaussian(13);
    const context = createReturnContext(
      quietReturn((t) => 1e-4 * Math.sin(2 * Math.PI * 1003 * t) + 1e-6 * next()),
    );
    expect(isReading(mains.read(context))).toBe(false);
  });

  it("takes the lines out of the hiss and leaves them in the noise", () => {
    // closed form: σ²·(22400 − 22.4)/24000 against 1/2, with and without Σ a²/2
    const rms = 1e-5;
    const context = silence(50.03, typical, rms, 15);
    const alone = (rms * rms * (22_400 - 22.4)) / 24_000;
    const hissReading = made(hiss, context);
    const noiseReading = made(noise, context);
    const both = alone + typical.reduce((sum, a) => sum + (a * a) / 2, 0);
    expect(Math.abs(hissReading.value - 10 * Math.log10(2 * alone))).toBeLessThan(
      1.5 * hissReading.uncertainty,
    );
    expect(Math.abs(noiseReading.value - 10 * Math.log10(2 * both))).toBeLessThan(
      1.5 * noiseReading.uncertainty,
    );
    expect(noiseReading.value - hissReading.value).toBeGreaterThan(15);
  });

  it("holds the truth in about 95 of 100 intervals", slow, () => {
    // 95 ± 3 · 2.2 of 100 silences by the binomial distribution; quick profile, random lines
    const runs = 100;
    const draw = gaussian(17);
    let frequencies = 0;
    let totals = 0;
    for (let k = 0; k < runs; k++) {
      const hz = 50 + 0.1 * draw();
      const lines = [1, 0.3, 0.5, 0.1, 0.2].map((a) => a * 2e-5 * (1 + Math.abs(draw())));
      const context = silence(hz, lines, 1e-4, 100 + k, { profile: "quick" });
      const found = mains.read(context);
      assertMade(found);
      if (Math.abs(found.value - hz) <= found.uncertainty) frequencies++;
      const total = made(hum, context);
      if (Math.abs(total.value - level(lines)) <= total.uncertainty) totals++;
    }
    for (const held of [frequencies, totals]) expect(held / runs).toBeGreaterThan(0.885);
  });
});
