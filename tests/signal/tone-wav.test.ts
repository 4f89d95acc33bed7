import { createRequire } from "node:module";
import { describe, expect, it } from "vitest";
import type { SignalFormat } from "../../src/signal/signal-wav.js";
import { encodeToneWav, toneKind } from "../../src/signal/tone-wav.js";

const { WaveFile } = createRequire(import.meta.url)("wavefile") as typeof import("wavefile");

const tone = (frequencyHz: number, format: SignalFormat = "int24", lengthS = 3) =>
  Buffer.concat([
    ...encodeToneWav({ frequencyHz, levelDbfs: -18, lengthS, sampleRate: 48_000, format }),
  ]);

describe("encodeToneWav", () => {
  // The closed form: a·sin(2πft), a = 10^(−18/20), a full-scale sine at 0 dBFS (AES17). Rounding and
  // dither of two steps err by 1.5 steps at most. wavefile, not ours, reads it back.
  it.each([
    [30, "int16"],
    [997.3, "int24"],
    [15_000, "float32"],
  ] as const)("holds a sine of %f Hz, without a step where pieces join, as %s", (hz, format) => {
    const file = new WaveFile(tone(hz, format));
    const samples = file.getSamples(false, Float64Array) as unknown as Float64Array;
    expect(samples.length).toBe(144_000);
    const bits = format === "float32" ? 25 : Number(format.slice(3));
    const scale = format === "float32" ? 1 : 2 ** (bits - 1);
    const flank = 0.02 * 48_000;
    let worst = 0;
    for (let i = flank; i < samples.length - flank; i++) {
      const want = 10 ** (-18 / 20) * Math.sin((2 * Math.PI * hz * i) / 48_000);
      worst = Math.max(worst, Math.abs(samples[i] / scale - want));
    }
    expect(worst).toBeLessThan(1.6 / 2 ** (bits - 1) + 1e-7);
  });

  it("begins and ends without a thump", () => {
    const file = new WaveFile(tone(1000));
    const samples = file.getSamples(false, Float64Array) as unknown as Float64Array;
    for (const at of [0, 1, samples.length - 2, samples.length - 1]) {
      expect(Math.abs(samples[at])).toBeLessThan(0.001 * 2 ** 23);
    }
  });

  it("says its true size, and what it is", () => {
    for (const format of ["int16", "int24", "int32", "float32"] as const) {
      const bytes = tone(440, format, 0.1);
      expect(bytes.readUInt32LE(4)).toBe(bytes.length - 8);
      expect(toneKind.isOwn(bytes.subarray(0, 4096), bytes.length)).toBe(true);
    }
  });

  it("gives the same bytes for the same request", () => {
    expect(tone(30).equals(tone(30))).toBe(true);
    expect(tone(30).equals(tone(31))).toBe(false);
  });
});
