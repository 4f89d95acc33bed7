import { describe, expect, it } from "vitest";
import { powerToDb } from "../../src/dsp/decibels.js";
import type { HarmonicLines } from "../../src/dsp/harmonic-lines.js";
import type { PowerSpectrum } from "../../src/dsp/welch.js";
import { computeHiddenTone, findStrongestTone } from "../../src/measure/strongest-tone.js";

// Expected: spectra made by hand. A steady line through a Hann window puts 2/3 of its power into its bin
// and 1/6 into each neighbour (the window's transform: 1, −½, −½, squared).

const stepHz = 2;
const bins = 4001;
const floor = 1e-14;

interface Line {
  readonly bin: number;
  readonly power: number;
}

function spectrumOf(lines: readonly Line[], noise: (k: number) => number = () => floor) {
  const density = Float64Array.from({ length: bins }, (_, k) => noise(k));
  for (const { bin, power } of lines) {
    density[bin] += ((2 / 3) * power) / stepHz;
    density[bin - 1] += power / 6 / stepHz;
    density[bin + 1] += power / 6 / stepHz;
  }
  return { density, stepHz, segments: 50 } satisfies PowerSpectrum;
}
const find = (lines: readonly Line[], noise?: (k: number) => number, mains?: HarmonicLines) =>
  findStrongestTone(spectrumOf(lines, noise), mains);

describe("the strongest tone", () => {
  it("has the power of its line, at its frequency", () => {
    const found = find([{ bin: 500, power: 1e-9 }]);
    expect(found?.hz).toBeCloseTo(1000, 6);
    expect(powerToDb((found?.power ?? 0) / 1e-9)).toBeCloseTo(0, 6);
    // Half of it in the next bin: a bin's half further.
    const density = spectrumOf([]).density;
    for (const [k, share] of [
      [499, 0.02],
      [500, 0.48],
      [501, 0.48],
      [502, 0.02],
    ]) {
      density[k] += (share * 1e-9) / stepHz;
    }
    const between = findStrongestTone({ density, stepHz, segments: 50 }, undefined);
    expect(between?.hz).toBeCloseTo(1001, 6);
  });

  it("is known by the noise beneath it: a line beats with it, 2·power·noise and more a segment", () => {
    // Of a line far above the noise the variance is 2·p·n·1.944/segments; 1.944 = 1 + 2·(4/9 + 1/36).
    const [power, noise] = [1e-9, floor * stepHz];
    const found = find([{ bin: 500, power }]);
    expect(found?.stdDev).toBeCloseTo(Math.sqrt((2 * power * noise * 1.944) / 50), 14);
    const ratio = noise / power;
    // Two thirds of it, for a sixth of the line in either neighbour.
    const spread = Math.sqrt(((2 / 3) * ratio * 1.944) / 50) * stepHz;
    expect((found?.deviationHz ?? 0) / spread).toBeCloseTo(1, 2);
  });

  it("is the stronger of two, in either order", () => {
    const [weak, strong] = [1e-10, 1e-9];
    expect(
      find([
        { bin: 500, power: weak },
        { bin: 900, power: strong },
      ])?.hz,
    ).toBeCloseTo(1800);
    expect(
      find([
        { bin: 500, power: strong },
        { bin: 900, power: weak },
      ])?.hz,
    ).toBeCloseTo(1000);
  });

  it("is none in noise alone, nor below 40 Hz, nor where the converter's filter cuts", () => {
    expect(find([])).toBeUndefined();
    expect(find([{ bin: 19, power: 1e-9 }])).toBeUndefined();
    expect(find([{ bin: 20, power: 1e-9 }])).toBeDefined();
    // 98 % of 4000 bins less the two that a line reaches.
    expect(find([{ bin: 3918, power: 1e-9 }])).toBeDefined();
    expect(find([{ bin: 3919, power: 1e-9 }])).toBeUndefined();
  });

  it("stands narrow: eight times above what lies beside it on either side", () => {
    // A shelf beneath it reaches to one side, eight times lower or not.
    const shelf = (level: number, side: -1 | 1) => (k: number) =>
      side * (k - 500) > 3 && side * (k - 500) < 11 ? level : floor;
    const peak = ((2 / 3) * 1e-9) / stepHz;
    for (const side of [-1, 1] as const) {
      expect(find([{ bin: 500, power: 1e-9 }], shelf(peak / 7, side))?.hz ?? 0).not.toBeCloseTo(
        1000,
        0,
      );
      expect(find([{ bin: 500, power: 1e-9 }], shelf(peak / 9, side))?.hz).toBeCloseTo(1000, 0);
    }
  });
});

describe("a line of the mains", () => {
  const mains = (amplitude: number, higher: HarmonicLines["higher"] = []) =>
    ({
      frequencyHz: 50,
      deviationHz: 1e-3,
      amplitudes: new Float64Array(40).fill(amplitude),
      higher,
    }) as unknown as HarmonicLines;
  const at = (bin: number, lines: HarmonicLines, power = 1e-9) =>
    find([{ bin, power }], undefined, lines);

  it("is no stray tone, at any multiple up to the two hundredth", () => {
    // 50 Hz lies at bin 25.
    for (const order of [1, 2, 40, 41])
      expect(at(25 * order, mains(0)), `${order}`).toBeUndefined();
    const wide = {
      frequencyHz: 5,
      deviationHz: 1e-4,
      amplitudes: new Float64Array(40),
      higher: [],
    };
    const fine = (order: number) =>
      find([{ bin: (5 * order) / stepHz, power: 1e-9 }], undefined, wide as never);
    expect(fine(200)).toBeUndefined();
    expect(fine(202)).toBeDefined();
  });

  it("leaves something within three bins where it wanders, 20 dB below itself at most", () => {
    // A line of amplitude a has a²/2; a hundredth of that is 1e-9.
    const loud = Math.sqrt(2 * 1e-7);
    expect(at(503, mains(1.05 * loud))).toBeUndefined();
    expect(at(503, mains(0.95 * loud))).toBeDefined();
    expect(at(504, mains(1.05 * loud))).toBeDefined();
    expect(at(497, mains(1.05 * loud))).toBeUndefined();
    // Higher ones, where they were fitted.
    const high = [{ order: 60, amplitude: 1.05 * loud }] as unknown as HarmonicLines["higher"];
    expect(at(1503, mains(0, high))).toBeUndefined();
    expect(at(1503, mains(0))).toBeDefined();
  });
});

it("what noise hides grows with it, and is what a critical band of it holds, less what the ear hears", () => {
  const hidden = (level: number) => computeHiddenTone(spectrumOf([], () => level));
  expect(hidden(floor)).toBeGreaterThan(0);
  expect(hidden(10 * floor) / hidden(floor)).toBeCloseTo(10, 9);
});
