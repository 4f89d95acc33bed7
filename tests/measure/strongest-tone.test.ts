import { describe, expect, it } from "vitest";
import { computeCriticalBandwidth, computeMaskingIndex } from "../../src/dsp/critical-band.js";
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

  it.each([
    [500, 100, 3],
    [1500, 300, 5],
  ])("at bin %i is as unsure as noise under it makes it", (bin, above, own) => {
    const noise = floor * stepHz;
    const power = above * floor;
    const found = find([{ bin, power }]);
    // Bin by bin up to `own` on either side: twice the line's share by the noise, and the noise squared.
    let squares = 0;
    let moments = 0;
    for (let n = -own; n <= own; n++) {
      const share = n === 0 ? 2 / 3 : Math.abs(n) === 1 ? 1 / 6 : 0;
      const square = 2 * share * power * noise + noise * noise;
      squares += square;
      moments += n * n * square;
    }
    // The floor that is taken off each is the mean of twelve bins.
    squares += ((2 * own + 1) * noise) ** 2 / 12;
    expect((found?.stdDev ?? 0) / Math.sqrt((squares * 1.944) / 50)).toBeCloseTo(1, 9);
    const deviationHz = (stepHz * Math.sqrt((moments * 1.944) / 50)) / power;
    expect((found?.deviationHz ?? 0) / deviationHz).toBeCloseTo(1, 9);
  });

  it("is louder than the noise of its critical band less what the ear hears", () => {
    for (const [bin, width] of [
      [500, computeCriticalBandwidth(1000)],
      // Its band reaches beyond the last bin.
      [3918, computeCriticalBandwidth(7836)],
    ]) {
      const hz = bin * stepHz;
      const hidden = floor * width * 10 ** (computeMaskingIndex(hz) / 10);
      expect(find([{ bin, power: 1.001 * hidden }])?.hz).toBeCloseTo(hz, 6);
      expect(find([{ bin, power: 0.999 * hidden }])).toBeUndefined();
    }
  });

  it("is the lower of two alike", () => {
    const even = 2 ** -46;
    const found = find(
      [
        { bin: 900, power: 1536 * even },
        { bin: 500, power: 1536 * even },
      ],
      () => even,
    );
    expect(found?.hz).toBeCloseTo(1000, 6);
  });

  it("is held against the noise that there is where the spectrum ends", () => {
    // Bins of 20 Hz: at 1920 of 2000 Hz some of the six above it are missing.
    const density = new Float64Array(101).fill(floor);
    density[96] += ((2 / 3) * 1e-9) / 20;
    for (const k of [95, 97]) density[k] += 1e-9 / 6 / 20;
    const found = findStrongestTone({ density, stepHz: 20, segments: 50 }, undefined);
    expect(found?.hz).toBeCloseTo(1920, 6);
    expect((found?.power ?? 0) / 1e-9).toBeCloseTo(1, 6);
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

  it("is known within three deviations and a tenth of a bin", () => {
    // The twentieth line wanders by 0.02 Hz: 0.06 and 0.2 Hz beside it.
    const beside = (awayHz: number) => {
      const { density } = spectrumOf([{ bin: 500, power: 1e-9 }]);
      const shifted = ((awayHz / stepHz / 2) * 1e-9) / stepHz;
      density[501] += shifted;
      density[499] -= shifted;
      return findStrongestTone({ density, stepHz, segments: 50 }, mains(0));
    };
    for (const side of [-1, 1]) {
      expect(beside(0.255 * side)).toBeUndefined();
      expect(beside(0.275 * side)?.hz).toBeCloseTo(1000 + 0.275 * side, 2);
    }
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

it("what noise hides is the loudest of all critical bands, each by the noise in it", () => {
  // Noise that steps every 128 bins, four of the stretches that the background is a median of.
  const shapes: ((block: number) => number)[] = [
    () => 1,
    (block) => 1 + block,
    (block) => (block === 0 ? 1e3 : 1),
    (block) => (block === 3 ? 1e3 : 1 + (block % 5)),
  ];
  for (const shape of shapes) {
    for (const step of [1, 2, 4]) {
      const density = Float64Array.from(
        { length: 4001 },
        (_, k) => floor * shape(Math.floor(k / 128)),
      );
      const topHz = 0.98 * 4000 * step;
      let most = 0;
      // Thirds of an octave from 40 Hz: 1000·10^(n/10).
      for (let n = -14; 1000 * 10 ** (n / 10) <= topHz; n++) {
        const hz = 1000 * 10 ** (n / 10);
        const width = computeCriticalBandwidth(hz);
        const first = Math.max(1, Math.round((hz - width / 2) / step));
        const last = Math.min(4000, Math.round((hz + width / 2) / step));
        const mean =
          density.slice(first, last + 1).reduce((sum, x) => sum + x, 0) / (last - first + 1);
        most = Math.max(most, mean * width * 10 ** (computeMaskingIndex(hz) / 10));
      }
      const found = computeHiddenTone({ density, stepHz: step, segments: 50 });
      expect(found / most).toBeCloseTo(1, 9);
    }
  }
});
