import { describe, expect, test } from "vitest";
import { parallel, thermalV2 } from "../../src/simulate/levels.js";
import { createRng } from "../../src/simulate/rng.js";
import { bandwidth, outputStage } from "../../src/simulate/stages/amplifier.js";
import { equaliser, lowCut } from "../../src/simulate/stages/biquad.js";
import { resampleByPpm } from "../../src/simulate/stages/clock.js";
import { rcLowPass } from "../../src/simulate/stages/first-order.js";
import { createMainsLinesStage, fieldLines, rippleLines } from "../../src/simulate/stages/mains.js";
import { flickerNoise, whiteNoise } from "../../src/simulate/stages/noise.js";
import { rc } from "../../src/simulate/stages/rc.js";
import type { Amplifier, Capacitor, Stage } from "../../src/simulate/types.js";
import { slow } from "../helpers/slow.js";
import { amplitudeAt, decibel, rms, tone } from "./tone.js";

const sampleRate = 48_000;

/** Gain of stages at a frequency of whole hertz, dB. */
function gainDb(stages: readonly Stage[], frequencyHz: number, lengthS = 3): number {
  const block = tone(frequencyHz, lengthS, sampleRate);
  for (const stage of stages) stage(block);
  return decibel(amplitudeAt(block, frequencyHz, sampleRate));
}

const straight = { seriesOhm: 0, second: 0, third: 0 };

describe("a capacitor and a resistor", () => {
  // |H| = x/√(1 + x²), x = 2πfRC: closed form of the first-order high-pass.
  test.each([
    [6.8e-6, 2],
    [6.8e-6, 20],
    [0.4e-6, 20],
    [0.4e-6, 40],
    [0.1e-6, 159],
    [0.1e-6, 1000],
    [0.1e-6, 20_000],
  ])("%d F into 10 kΩ has the first-order response at %d Hz", (farad, frequencyHz) => {
    const x = 2 * Math.PI * frequencyHz * 10_000 * farad;
    const measured = gainDb([rc({ ...straight, farad }, 10_000, 0, 1, sampleRate)], frequencyHz);
    expect(Math.abs(measured - decibel(x / Math.hypot(1, x)))).toBeLessThan(0.05);
  });

  test("in the leg of a non-inverting stage leave gain 1 at 0 Hz and 1 + Rf/Rg above", () => {
    const capacitor = { ...straight, farad: 47e-6 };
    for (const frequencyHz of [1, 10, 27, 100, 10_000]) {
      const stage = rc(capacitor, 127, 1, 10_000 / 127, sampleRate);
      // H = 1 + Rf/(Rg + 1/jωC).
      const reactance = 1 / (2 * Math.PI * frequencyHz * 47e-6);
      const h = 10_000 / Math.hypot(127, reactance);
      const angle = Math.atan2(reactance, 127);
      const expected = decibel(Math.hypot(1 + h * Math.cos(angle), h * Math.sin(angle)));
      expect(Math.abs(gainDb([stage], frequencyHz) - expected)).toBeLessThan(0.05);
    }
  });

  test("bend by their own law: second harmonic a·v²/2 of the voltage across the capacitor", () => {
    const capacitor: Capacitor = { farad: 1e-6, seriesOhm: 0, second: 1e-4, third: 0 };
    const block = tone(20, 3, sampleRate);
    rc(capacitor, 10_000, 0, 1, sampleRate)(block);
    const x = 2 * Math.PI * 20 * 10_000 * 1e-6;
    const across = 1 / Math.hypot(1, x);
    const highPassAt40 = (2 * x) / Math.hypot(1, 2 * x);
    const expected = (1e-4 * across ** 2 * highPassAt40) / 2;
    // The perturbation is first-order in a·v, so agreement to a few parts in 10⁴.
    expect(amplitudeAt(block, 40, sampleRate) / expected).toBeCloseTo(1, 2);
  });
});

describe("a pole near half the sample rate", () => {
  // |H| = 1/√(1 + (f/fc)²).
  test.each([2000, 5000, 12_000, 17_500, 60_000, 143_000])(
    "at %d Hz rolls off as its circuit does, up to 20 kHz",
    (cornerHz) => {
      for (const frequencyHz of [100, 1000, 5000, 10_000, 15_000, 20_000]) {
        const expected = -decibel(Math.hypot(1, frequencyHz / cornerHz));
        const measured = gainDb(rcLowPass(cornerHz, sampleRate), frequencyHz, 1.5);
        expect(Math.abs(measured - expected)).toBeLessThan(0.05);
      }
    },
  );
});

describe("noise", () => {
  test("of a resistor is √(4kTRB)", () => {
    // 150 Ω at 293.15 K in 20 kHz: −130.918 dBu (Johnson 1928, Nyquist 1928); here at 300 K.
    const volts = Math.sqrt(thermalV2(150) * 20_000);
    const warmer = 10 * Math.log10(300 / 293.15);
    expect(decibel(volts / Math.sqrt(0.6))).toBeCloseTo(-130.918 + warmer, 3);
    // The same formula, kernel values written out.
    expect(thermalV2(1000)).toBeCloseTo(4 * 1.380649e-23 * 300 * 1000, 30);
  });

  test("that is white has its density times the root of half the sample rate", () => {
    const block = new Float64Array(1_000_000);
    whiteNoise(1e-8, createRng("white"), sampleRate)(block);
    // Standard error of an RMS: 1/√(2N).
    expect(Math.abs(rms(block) / (1e-8 * Math.sqrt(24_000)) - 1)).toBeLessThan(5 / Math.sqrt(2e6));
  });

  test(
    "of the 1/f kind falls by 10 dB a decade and has its density at the frequency named",
    slow,
    () => {
      const stage = flickerNoise(1e-6, 1000, createRng("flicker"), sampleRate, 2048);
      const blocks = 1500;
      const bins = [20, 100, 1000, 10_000];
      const window = 4800;
      const power = bins.map(() => 0);
      const block = new Float64Array(window);
      for (let k = 0; k < blocks; k++) {
        block.fill(0);
        for (let at = 0; at < window; at += 2048) {
          stage(block.subarray(at, Math.min(window, at + 2048)));
        }
        bins.forEach((hz, b) => {
          let re = 0;
          let im = 0;
          // Hann window; its noise bandwidth leaves the sum of squares 3/8.
          for (let n = 0; n < window; n++) {
            const w = 0.5 - 0.5 * Math.cos((2 * Math.PI * n) / window);
            const angle = (2 * Math.PI * hz * n) / sampleRate;
            re += w * block[n] * Math.cos(angle);
            im += w * block[n] * Math.sin(angle);
          }
          power[b] += (2 * (re * re + im * im)) / ((3 / 8) * window * sampleRate * blocks);
        });
      }
      bins.forEach((hz, b) => {
        const expected = 1e-6 ** 2 * (1000 / hz);
        // Estimate: 4.34 dB/√1500 = 0.11 dB; ripple of the alternating poles: 0.3 dB.
        expect(Math.abs(10 * Math.log10(power[b] / expected))).toBeLessThan(0.6);
      });
    },
  );
});

describe("filters left in", () => {
  test.each([2, 3] as const)("a low-cut of order %d is a Butterworth high-pass", (order) => {
    for (const frequencyHz of [20, 40, 80, 160, 1000]) {
      const x = (80 / frequencyHz) ** (2 * order);
      const measured = gainDb(lowCut({ cornerHz: 80, order }, sampleRate), frequencyHz);
      expect(Math.abs(measured + 10 * Math.log10(1 + x))).toBeLessThan(0.02);
    }
  });

  test("a peak has its gain at its centre and none far away", () => {
    const band = { shape: "peak", centreHz: 2500, gainDb: 6, q: 1 } as const;
    expect(gainDb([equaliser(band, sampleRate)], 2500)).toBeCloseTo(6, 3);
    expect(Math.abs(gainDb([equaliser(band, sampleRate)], 20))).toBeLessThan(0.01);
  });

  test("shelves have their gain at their end of the band and half of it, in dB, at the middle", () => {
    // Mid-point gain of the shelves of the Audio EQ Cookbook.
    const low = { shape: "low-shelf", centreHz: 200, gainDb: 4, q: Math.SQRT1_2 } as const;
    expect(gainDb([equaliser(low, sampleRate)], 10)).toBeCloseTo(4, 1);
    expect(gainDb([equaliser(low, sampleRate)], 200)).toBeCloseTo(2, 3);
    expect(gainDb([equaliser(low, sampleRate)], 10_000)).toBeCloseTo(0, 2);
    const high = { shape: "high-shelf", centreHz: 5000, gainDb: -4, q: Math.SQRT1_2 } as const;
    expect(gainDb([equaliser(high, sampleRate)], 22_000)).toBeCloseTo(-4, 1);
    expect(gainDb([equaliser(high, sampleRate)], 5000)).toBeCloseTo(-2, 3);
    expect(gainDb([equaliser(high, sampleRate)], 50)).toBeCloseTo(0, 2);
  });
});

describe("an output stage", () => {
  const amplifier: Amplifier = {
    gainBandwidthHz: 12e6,
    noiseV: 0,
    flickerHz: 0,
    second: 1e-4,
    third: 2e-4,
    railHighV: 18,
    railLowV: -18,
    saturationV: 0.65,
    crossoverV: 0,
    oscillationV: 0,
    oscillationHz: 70e3,
  };
  const driven = (values: Amplifier, peakV: number) => {
    const block = tone(1000, 1, sampleRate).map((x) => peakV * x);
    outputStage(values)(block);
    return block;
  };

  test("has the harmonics of its polynomial: a·A²/2 and b·A³/4", () => {
    // Chebyshev: sin² = (1 − cos 2φ)/2, sin³ = (3 sin φ − sin 3φ)/4.
    const block = driven(amplifier, 2);
    expect(amplitudeAt(block, 2000, sampleRate)).toBeCloseTo((1e-4 * 4) / 2, 9);
    expect(amplitudeAt(block, 3000, sampleRate)).toBeCloseTo((2e-4 * 8) / 4, 9);
  });

  test("never leaves its rails and clips on the side whose rail is missing", () => {
    const block = driven({ ...amplifier, second: 0, third: 0, railHighV: 4 }, 10);
    expect(Math.max(...block)).toBeLessThanOrEqual(3.35);
    expect(Math.max(...block)).toBeGreaterThan(3.3);
    expect(Math.min(...block)).toBeCloseTo(-10, 6);
  });

  test("with a gap between its halves distorts the more the lower the level", () => {
    const gap = { ...amplifier, second: 0, third: 0, crossoverV: 0.01 };
    const third = (peakV: number) => {
      const block = driven(gap, peakV);
      return amplitudeAt(block, 3000, sampleRate) / amplitudeAt(block, 1000, sampleRate);
    };
    expect(third(0.3)).toBeGreaterThan(2 * third(1));
    expect(third(1)).toBeGreaterThan(2 * third(5));
  });

  test("has its bandwidth at gain-bandwidth over gain", () => {
    // |H| = 1/√(1 + (f/fc)²), fc = 12 MHz/84.
    const stages = bandwidth(amplifier, 84, sampleRate);
    const expected = -decibel(Math.hypot(1, 20_000 / (12e6 / 84)));
    expect(Math.abs(gainDb(stages, 20_000, 1.5) - expected)).toBeLessThan(0.001);
    expect(bandwidth(amplifier, 2, sampleRate)).toEqual([]);
  });
});

describe("the mains", () => {
  test("add their lines and nothing between", () => {
    const block = new Float64Array(2 * sampleRate);
    createMainsLinesStage(fieldLines(1e-3), 50, createRng("field"), sampleRate)(block);
    for (const order of [1, 3, 5, 7, 9]) {
      expect(amplitudeAt(block, 50 * order, sampleRate) / (1e-3 / order)).toBeCloseTo(1, 4);
    }
    for (const hz of [100, 200, 77]) expect(amplitudeAt(block, hz, sampleRate)).toBeLessThan(1e-8);
  });

  test("ripple through a resistor and a decoupling capacitor falls as first order", () => {
    const supply = { rippleV: 1, feedOhm: 100, decouplingFarad: 100e-6, rejection: 1e-3 };
    const [first, second] = rippleLines(supply, 50);
    // 1/√(1 + (2πfRC)²) at 100 and 200 Hz, half the ripple at the second.
    expect(first).toEqual({ order: 2, peakV: expect.closeTo(1e-3 / Math.hypot(1, 6.283185), 8) });
    expect(second).toEqual({ order: 4, peakV: expect.closeTo(5e-4 / Math.hypot(1, 12.56637), 8) });
  });
});

describe("another clock", () => {
  test.each([1000, 10_000, 20_000])("keeps a sine of %d Hz and scales its time", (frequencyHz) => {
    const ppm = 150;
    const out = resampleByPpm(tone(frequencyHz, 1, sampleRate), ppm);
    expect(out.length).toBe(Math.round(sampleRate * (1 + ppm * 1e-6)));
    let worst = 0;
    for (let n = 100; n < out.length - 100; n++) {
      const exact = Math.sin((2 * Math.PI * frequencyHz * n) / (sampleRate * (1 + ppm * 1e-6)));
      worst = Math.max(worst, Math.abs(out[n] - exact));
    }
    expect(decibel(worst)).toBeLessThan(-100);
  });

  test("that is the same clock returns the same samples", () => {
    const signal = tone(1000, 0.1, sampleRate);
    expect(resampleByPpm(signal, 0)).toBe(signal);
  });
});

test("resistors in parallel: 1/R is the sum of 1/Rk", () => {
  expect(parallel(3, 6)).toBeCloseTo(2, 12);
});
