import { describe, expect, it } from "vitest";
import { linearity } from "../../src/measure/readings/linearity.js";
import { createReturnContext } from "../../src/measure/return-context.js";
import type { Reading } from "../../src/measure/types.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { addNoise } from "../helpers/captures.js";
import { excerpt, type Path, returnThrough } from "../helpers/excerpt.js";
import { slow } from "../helpers/slow.js";

const rate = 48_000;
const names = ["silence", "tone-1k", "steps-1k"];
const table = excerpt(buildSignalTable("standard", "base"), names);
const lowSteps = [-60, -40, -20];
const db = (ratio: number) => 20 * Math.log10(ratio);

/** Gain for the fundamental at a level above nominal, by numerical integration over a period. */
function gainDb(path: Path, aboveNominalDb: number): number {
  const a = 10 ** ((-18 + aboveNominalDb) / 20);
  const points = 1024;
  let sum = 0;
  for (let k = 0; k < points; k++) {
    const crest = Math.cos((2 * Math.PI * k) / points);
    sum += path(a * crest) * crest;
  }
  return db((2 * sum) / points / a);
}

function truth(path: Path): number {
  return lowSteps
    .map((level) => gainDb(path, level) - gainDb(path, 0))
    .reduce((a, b) => (Math.abs(b) > Math.abs(a) ? b : a));
}

/** A strip of the swing that is lost about zero, as between the halves of an output stage. */
const gap =
  (width: number): Path =>
  (x) =>
    x - (width * x) / (Math.abs(x) + 1.5 * width);

describe("linearity", () => {
  it("is the loss of the weakest tone through a gap about zero, within 0.01 dB", () => {
    for (const width of [1e-5, 1e-4]) {
      const path = gap(width);
      const found = linearity.read(createReturnContext(returnThrough(table, rate, path, 1e-8)));
      expect(Math.abs((found as Reading).value - truth(path))).toBeLessThan(0.01);
      expect((found as Reading).value).toBeLessThan(-0.01);
    }
  });

  it("is zero for a straight path, to a thousandth of a decibel", () => {
    const found = linearity.read(createReturnContext(returnThrough(table, rate, (x) => 0.7 * x)));
    expect(Math.abs((found as Reading).value)).toBeLessThan(0.001);
  });

  it("holds the truth in its interval as often as it says, whatever the noise", slow, () => {
    const clean = returnThrough(table, rate, (x) => x);
    let held = 0;
    const runs = 120;
    for (let run = 0; run < runs; run++) {
      const path = gap(1e-6 * 150 ** (run / runs));
      const samples = clean.samples.map(path);
      addNoise(samples, 3e-6 * 30 ** (((run * 11) % runs) / runs), run + 1);
      const found = linearity.read(createReturnContext({ ...clean, samples })) as Reading;
      if (Math.abs(found.value - truth(path)) <= found.uncertainty) held++;
    }
    // binomial of 120 at 95 %: 107 to 119 in 99 %
    expect(held).toBeGreaterThanOrEqual(107);
    expect(held).toBeLessThan(120);
  });

  it("is not taken in by a mains line that falls on the tone", () => {
    // the twentieth multiple of 50 Hz, 10 dB under the weakest step
    const audio = returnThrough(table, rate, (x) => x, 1e-6);
    audio.samples.forEach((_, n) => {
      audio.samples[n] += 10 ** (-88 / 20) * Math.sin((2 * Math.PI * 1000 * n) / rate + 1);
    });
    const found = linearity.read(createReturnContext(audio)) as Reading;
    expect(Math.abs(found.value)).toBeLessThan(found.uncertainty);
  });

  it("is not moved by hum 20 dB stronger than the weakest step", () => {
    const audio = returnThrough(table, rate, (x) => x, 1e-7);
    audio.samples.forEach((_, n) => {
      audio.samples[n] += 10 ** (-58 / 20) * Math.sin((2 * Math.PI * 50.03 * n) / rate + 1);
    });
    const found = linearity.read(createReturnContext(audio)) as Reading;
    expect(Math.abs(found.value)).toBeLessThan(found.uncertainty);
    expect(found.uncertainty).toBeLessThan(0.01);
  });

  it("is absent where the signal has no weak steps and where they drown", () => {
    const quick = excerpt(buildSignalTable("quick", "base"), names);
    expect(linearity.read(createReturnContext(returnThrough(quick, rate, (x) => x)))).toEqual({
      absent: { code: "not-in-signal", part: "low-steps", profile: "quick" },
    });
    const faint = returnThrough(table, rate, (x) => 1e-3 * x, 5e-4);
    expect(linearity.read(createReturnContext(faint))).toEqual({
      absent: { code: "low-steps-in-noise" },
    });
  });
});
