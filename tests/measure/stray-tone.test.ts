import { describe, expect, it } from "vitest";
import { createMersenneTwister } from "../../src/dsp/random.js";
import { isReading, type ReadingKind } from "../../src/measure/reading-kind.js";
import { strayTone, strayToneFrequency } from "../../src/measure/readings/stray-tone.js";
import type { ReturnAudio } from "../../src/measure/return-audio.js";
import { createReturnContext } from "../../src/measure/return-context.js";
import type { Reading } from "../../src/measure/types.js";
import { gaussian } from "../helpers/noise.js";
import { quietReturn } from "../helpers/quiet-return.js";

// Expected: levels of sines, 20·lg of their peak, and their frequencies.

function read(kind: ReadingKind, audio: ReturnAudio): Reading {
  const reading = kind.read(createReturnContext(audio));
  if (!isReading(reading)) throw new Error(reading.absent.code);
  return reading;
}

type Wave = (t: number) => number;

const sine =
  (hz: number, peakDb: number): Wave =>
  (t) =>
    10 ** (peakDb / 20) * Math.sin(2 * Math.PI * hz * t + hz);

const sum =
  (...waves: readonly Wave[]): Wave =>
  (t) =>
    waves.reduce((all, wave) => all + wave(t), 0);

/** White noise of so many dBFS up to half the sample rate. */
function white(seed: number, db: number): Wave {
  const next = gaussian(seed);
  return () => Math.SQRT1_2 * 10 ** (db / 20) * next();
}

const hum = sum(sine(50.02, -70), sine(100.04, -85), sine(150.06, -76), sine(250.1, -80));

describe("stray tone", () => {
  it.each([
    [44_100, 15_734],
    [48_000, 63.1],
    [48_000, 997],
    [48_000, 21_300],
    [96_000, 19_000.3],
    [96_000, 31_250],
    [192_000, 70_000],
  ])("is the level of a tone, at %i Hz sample rate of %d Hz", (sampleRate, hz) => {
    for (const profile of ["quick", "standard"] as const) {
      const audio = quietReturn(sum(white(5, -96), sine(hz, -75), hum), { profile, sampleRate });
      const { value, uncertainty, bound } = read(strayTone, audio);
      expect(bound).toBeUndefined();
      expect(Math.abs(value + 75)).toBeLessThan(uncertainty);
      expect(uncertainty).toBeLessThan(1);
      const frequency = read(strayToneFrequency, audio);
      expect(Math.abs(frequency.value - hz)).toBeLessThan(frequency.uncertainty);
    }
  });

  it("may be the rounding's own in words of 16 bits, and says so", () => {
    // closed form: the third harmonic of a square wave of a step, 20·lg(4/3π) − 90.31 = −97.75 dBFS
    const q = 2 ** -15;
    const random = createMersenneTwister(9);
    const words = (wave: Wave): Wave => {
      return (t) => q * Math.round(wave(t) / q + random.uniform() + random.uniform() - 1);
    };
    const limitOf = (peakDb: number) =>
      read(strayTone, quietReturn(words(sine(3100, peakDb)))).limitedBy;
    expect(limitOf(-99)).toBe("interface");
    expect(limitOf(-96.5)).toBeUndefined();
  });

  it("is the stronger of two tones", () => {
    const audio = quietReturn(sum(white(6, -96), sine(3100, -80), sine(9100, -77)), {});
    expect(read(strayTone, audio).value).toBeCloseTo(-77, 0);
    expect(read(strayToneFrequency, audio).value).toBeCloseTo(9100, 0);
  });

  it("holds the whole of one that wanders", () => {
    // ±8 Hz twice a second, by the integral of the frequency.
    const wandering: Wave = (t) =>
      10 ** (-75 / 20) * Math.sin(2 * Math.PI * 8000 * t + 4 * Math.sin(4 * Math.PI * t));
    const { value } = read(strayTone, quietReturn(sum(white(7, -96), wandering), {}));
    expect(Math.abs(value + 75)).toBeLessThan(0.3);
  });

  it.each(["hiss", "hum", "hum that wanders", "1/f noise"])("is a bound in %s", (kind) => {
    for (let seed = 1; seed <= 12; seed++) {
      const noise = white(seed, -96);
      let slow = 0;
      const waves: Readonly<Record<string, Wave>> = {
        hiss: noise,
        hum: sum(noise, hum),
        "hum that wanders": sum(
          noise,
          ...[1, 2, 3, 5].map((order): Wave => {
            return (t) => 1e-3 * Math.sin(order * (2 * Math.PI * 50 * t + 0.3 * Math.sin(t)));
          }),
        ),
        "1/f noise": (t) => {
          slow = 0.999 * slow + 0.3 * noise(t);
          return slow + noise(t);
        },
      };
      const profile = seed % 2 === 0 ? "quick" : "standard";
      const { bound, value } = read(strayTone, quietReturn(waves[kind], { profile }));
      expect(bound, `seed ${seed}: ${value}`).toBe("upper");
    }
  });

  it("bounds what the noise hides", () => {
    for (const hz of [223, 1823, 7310, 15_007]) {
      const bound = read(strayTone, quietReturn(white(8, -80), {})).value;
      for (const below of [3, 0.5]) {
        const audio = quietReturn(sum(white(8, -80), sine(hz, bound - below)), {});
        const found = read(strayTone, audio);
        const least = found.bound === "upper" ? found.value : found.value + found.uncertainty;
        expect(least).toBeGreaterThan(bound - below);
      }
      // Clear of any masking: in a critical band lies a part of the noise only.
      expect(
        read(strayTone, quietReturn(sum(white(8, -80), sine(hz, -80)), {})).bound,
      ).toBeUndefined();
    }
  });
});
