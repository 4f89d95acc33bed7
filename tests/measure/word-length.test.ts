import { describe, expect, it } from "vitest";
import {
  computeDitherPower,
  isSetByWordLength,
  isToneOfRounding,
} from "../../src/measure/word-length.js";

describe("computeDitherPower", () => {
  it("is 6.02 dB less for each bit more, −93.3 dBFS with 16", () => {
    // closed form: q²/4 against ½, q = 2^(1−b) (Lipshitz, Wannamaker, Vanderkooy 1992)
    for (const bits of [12, 16, 24]) {
      const db = 10 * Math.log10(computeDitherPower(2 ** (1 - bits)) / 0.5);
      expect(db).toBeCloseTo(-(20 * Math.log10(2) * (bits - 1) + 10 * Math.log10(2)), 6);
    }
  });
});

describe("isSetByWordLength", () => {
  const step = 2 ** -15;
  const flat = (fromHz: number, toHz: number) => ({ fromHz, toHz, weight: () => 1 });

  it("holds up to twice the dither's power in the band", () => {
    // closed form: white up to 24 kHz, a quarter of it lies in 6 kHz
    const quarter = step ** 2 / 16;
    const band = flat(1000, 7000);
    expect(isSetByWordLength(1.99 * quarter, step, 48_000, band)).toBe(true);
    expect(isSetByWordLength(2.01 * quarter, step, 48_000, band)).toBe(false);
  });

  it("weights the dither as the noise is weighted", () => {
    // closed form: ∫ f/24000 df = 12 kHz, half of the band
    const band = { fromHz: 0, toHz: 24_000, weight: (hz: number) => hz / 24_000 };
    const half = step ** 2 / 8;
    expect(isSetByWordLength(1.99 * half, step, 48_000, band)).toBe(true);
    expect(isSetByWordLength(2.01 * half, step, 48_000, band)).toBe(false);
  });

  it("does not hold where no step was found", () => {
    expect(isSetByWordLength(0, undefined, 48_000, flat(20, 20_000))).toBe(false);
  });
});

describe("isToneOfRounding", () => {
  it("holds for what an undithered sine of about a step leaves beside itself", () => {
    // by numerical quadrature: the third harmonic of a rounded sine
    const step = 2 ** -15;
    const n = 4800;
    const thirdOf = (steps: number) => {
      let sum = 0;
      for (let k = 0; k < n; k++) {
        const angle = (2 * Math.PI * (k + 0.5)) / n;
        sum += step * Math.round(steps * Math.sin(angle)) * Math.sin(3 * angle);
      }
      return ((2 * sum) / n) ** 2 / 2;
    };
    const amplitudes = Array.from({ length: 200 }, (_, k) => 0.5 + k / 40);
    const strongest = Math.max(...amplitudes.map(thirdOf));
    expect(isToneOfRounding(strongest, step)).toBe(true);
    expect(isToneOfRounding(1.02 * strongest, step)).toBe(false);
    expect(isToneOfRounding(0, undefined)).toBe(false);
  });
});
