import { describe, expect, it } from "vitest";
import type { Absent } from "../../src/measure/absence.js";
import { imd, imd2, imd3 } from "../../src/measure/readings/difference-frequency.js";
import { createReturnContext } from "../../src/measure/return-context.js";
import type { Reading } from "../../src/measure/types.js";
import { buildSignalTable, chooseBand } from "../../src/signal/signal-table.js";
import { addNoise } from "../helpers/captures.js";
import { excerpt, type Path, returnThrough } from "../helpers/excerpt.js";
import { assertMade } from "../helpers/made.js";
import { slow } from "../helpers/slow.js";

// Expected values, closed form: two tones of amplitude A through y = x + b·x² + c·x³ keep
// A + (9/4)·c·A³ each and give b·A² at f2 − f1 and (3/4)·c·A³ at each of 2f1 − f2 and 2f2 − f1.

const table = excerpt(buildSignalTable("standard", "base"), ["silence", "twin"]);
const amplitude = 10 ** (-18 / 20) / 2;
const db = (ratio: number) => 20 * Math.log10(ratio);

function truth(b: number, c: number) {
  const sum = 2 * (amplitude + 2.25 * c * amplitude ** 3);
  const second = Math.abs(b * amplitude ** 2) / sum;
  const third = (2 * Math.abs(0.75 * c * amplitude ** 3)) / sum;
  return { imd2: db(second), imd3: db(third), imd: db(Math.hypot(second, third)) };
}

function read(path: Path, rate = 48_000, noiseRms = 0, seed = 1) {
  const band = excerpt(buildSignalTable("standard", chooseBand(rate)), ["silence", "twin"]);
  return readings(returnThrough(band, rate, path, noiseRms, seed));
}

function readings(audio: Parameters<typeof createReturnContext>[0]) {
  const context = createReturnContext(audio);
  return { imd2: imd2.read(context), imd3: imd3.read(context), imd: imd.read(context) };
}

const made = (reading: Reading | Absent): Reading => {
  assertMade(reading);
  return reading;
};

describe("difference-frequency distortion", () => {
  it("is that of a polynomial at every sample rate within 0.01 dB, down to −110 dB", () => {
    for (const rate of [44_100, 48_000, 96_000]) {
      for (const [b, c] of [
        [0.01, -0.02],
        [1e-4, -1.2e-3],
      ]) {
        const expected = truth(b, c);
        const read_ = read((x) => x + b * x * x + c * x ** 3, rate);
        for (const id of ["imd2", "imd3", "imd"] as const) {
          expect(Math.abs(made(read_[id]).value - expected[id]), `${rate} ${id}`).toBeLessThan(
            0.01,
          );
        }
      }
    }
  });

  it("counts a line of the mains that lies on the difference tone as doubt", () => {
    // 999.4 Hz, the 20th of 49.97 Hz, as strong as the tone that b makes, at eight phases
    const b = 1e-3;
    const clean = returnThrough(table, 48_000, (x) => x + b * x * x);
    for (let phase = 0; phase < 8; phase++) {
      const samples = clean.samples.map((x, n) =>
        [1, 3, 20].reduce(
          (sum, order) =>
            sum +
            b * amplitude ** 2 * Math.sin(2 * Math.PI * ((order * 49.97 * n) / 48_000 + phase / 8)),
          x,
        ),
      );
      addNoise(samples, 1e-7, phase + 1);
      const reading = made(readings({ ...clean, samples }).imd2);
      const off = reading.value - truth(b, 0).imd2;
      expect(reading.bound ? off >= 0 : Math.abs(off) <= reading.uncertainty).toBe(true);
    }
  });

  it("has a residual of its own below −140 dB in floating point", () => {
    for (const reading of Object.values(read((x) => x))) {
      expect(made(reading).value).toBeLessThan(-140);
    }
  });

  it(
    "holds the truth in its interval 93 to 99 times in a hundred, its bounds always but rarely",
    slow,
    () => {
      const clean = returnThrough(table, 48_000, (x) => x);
      const counts = { made: 0, held: 0, bounds: 0, broken: 0 };
      for (let run = 0; run < 120; run++) {
        const b = 1e-4 * 100 ** (run / 120);
        const c = -1e-3 * 100 ** (((run * 7) % 120) / 120);
        const samples = clean.samples.map((x) => x + b * x * x + c * x ** 3);
        addNoise(samples, 3e-6 * 30 ** (((run * 11) % 120) / 120), run + 1);
        const expected = truth(b, c);
        const found = readings({ ...clean, samples });
        for (const id of ["imd2", "imd3", "imd"] as const) {
          const reading = made(found[id]);
          if (reading.limitedBy === "noise") {
            counts.bounds++;
            if (expected[id] > reading.value) counts.broken++;
          } else {
            counts.made++;
            if (Math.abs(reading.value - expected[id]) <= reading.uncertainty) counts.held++;
          }
        }
      }
      expect(counts.held / counts.made).toBeGreaterThan(0.93);
      expect(counts.held / counts.made).toBeLessThan(0.99);
      expect(counts.broken).toBeLessThanOrEqual(0.03 * counts.bounds + 1);
    },
  );

  it("is not taken in by a mains line that falls on the difference tone", () => {
    // the twentieth multiple of 50 Hz, 20 dB over the second-order line
    const audio = returnThrough(table, 48_000, (x) => x + 1e-3 * x * x, 1e-6);
    const hum = 10 * 1e-3 * amplitude ** 2;
    audio.samples.forEach((_, n) => {
      audio.samples[n] += hum * Math.sin((2 * Math.PI * 1000 * n) / 48_000 + 1);
    });
    const { imd2: second } = readings(audio);
    expect(made(second).limitedBy).toBe("noise");
    expect(made(second).value).toBeGreaterThan(truth(1e-3, 0).imd2);
  });

  it("is absent, with the reason, without tones, in a clipped capture and in one cut short", () => {
    const silent = read(() => 0);
    expect(silent.imd).toEqual({ absent: { code: "no-tone", hz: 19_000 } });
    const clipped = read((x) => Math.max(-1, Math.min(1, 12 * x)));
    expect(clipped.imd).toEqual({ absent: { code: "converter-clipped" } });
    const whole = returnThrough(table, 48_000, (x) => x);
    const short = readings({ ...whole, samples: whole.samples.slice(0, 120_000) });
    expect(short.imd).toEqual({ absent: { code: "not-in-capture", part: "twin-tone" } });
  });
});
