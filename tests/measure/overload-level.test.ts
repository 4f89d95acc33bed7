import { describe, expect, it } from "vitest";
import type { AnalyzedStep } from "../../src/measure/level-step-analysis.js";
import {
  computeStepDistortion,
  findOverloadLevel,
  mostReachDb,
  type OverloadLevel,
} from "../../src/measure/overload-level.js";
import type { PathFilter } from "../../src/measure/path-filter.js";
import { compression } from "../../src/measure/readings/distortion.js";
import { assertMade } from "../helpers/made.js";

// Expected: harmonics of a tone through a path in closed form, by Fourier sums over a period; the level
// at which harmonics 2 to 10 are 1 % of the tone by bisection of the same sums. No audio is made.

type Path = (x: number) => number;
const points = 1024;
const count = 20;

/** A cosine so many decibels above nominal (0.1) through a path: what a step of the ladder shows. */
function stepOf(path: Path, aboveNominalDb: number, variance = 1e-16): AnalyzedStep {
  const a = 0.1 * 10 ** (aboveNominalDb / 20);
  const sums = new Float64Array(count);
  for (let k = 0; k < points; k++) {
    const theta = (2 * Math.PI * k) / points;
    const y = path(a * Math.cos(theta));
    for (let n = 1; n <= count; n++) sums[n - 1] += (2 / points) * y * Math.cos(n * theta);
  }
  return {
    aboveNominalDb,
    amplitudes: sums.map(Math.abs),
    phases: sums.map((c) => (c < 0 ? Math.PI : 0)),
    variances: new Float64Array(count).fill(variance),
    level: { amplitude: Math.abs(sums[0]), variance },
  };
}

const distortionOf = ({ amplitudes }: AnalyzedStep) =>
  amplitudes.slice(1, 10).reduce((sum, a) => sum + a * a, 0) / amplitudes[0] ** 2;

function truth(path: Path): number {
  let [low, high] = [-10, 30];
  for (let k = 0; k < 30; k++) {
    const middle = (low + high) / 2;
    if (distortionOf(stepOf(path, middle)) >= 1e-4) high = middle;
    else low = middle;
  }
  return low;
}

/** A limit of either half-wave, and the share of it from which it bends. */
const limiter =
  (positive: number, negative: number, knee: number): Path =>
  (x) => {
    const limit = x > 0 ? positive : negative;
    const from = knee * limit;
    const over = Math.abs(x) - from;
    if (over < 0) return x;
    return Math.sign(x) * (from + (limit - from) * Math.tanh(over / (limit - from)));
  };

/** The steps about the limit, 3 dB apart. */
function ladder(path: Path, variance?: number) {
  let db = 0;
  while (distortionOf(stepOf(path, db)) < 1e-4) db += 3;
  const [below, above, beyond] = [db - 3, db, db + 3].map((at) => stepOf(path, at, variance));
  return { below, above, beyond };
}
const find = (...own: Parameters<typeof findOverloadLevel>) =>
  findOverloadLevel(...own) as OverloadLevel;
const scaled = (step: AnalyzedStep, harmonics: number, all = 1): AnalyzedStep => ({
  ...step,
  amplitudes: step.amplitudes.map((a, k) => all * (k === 0 ? a : harmonics * a)),
});

const paths = [0.15, 0.2, 0.28, 0.35].flatMap((limit, k) =>
  [0.6, 0.8].map((knee) => limiter(limit, limit * (1 + (k % 2)), knee)),
);
const soft = limiter(0.28, 0.28, 0.6);

describe("the level at which a path overloads", () => {
  it.each(paths.map((path, k) => [k, path] as const))("is the truth's, path %i", (_, path) => {
    const { below, above, beyond } = ladder(path);
    const expected = truth(path);
    for (const steps of [
      { below, above, beyond },
      { below, above, beyond: undefined },
      { below: undefined, above, beyond },
    ]) {
      const found = find(steps, undefined);
      expect(Math.abs(found.db - expected)).toBeLessThan(found.uncertainty);
      expect(found.uncertainty).toBeLessThan(0.25);
      expect(found.hasMemory).toBeUndefined();
    }
    const both = find({ below, above, beyond }, undefined);
    expect(both.db).toBeGreaterThan(below.aboveNominalDb - 0.02);
    expect(both.db).toBeLessThan(above.aboveNominalDb + 0.02);
  });

  it("is a cubic's in closed form", () => {
    // y = x − c·x³: (c·a²/4)/(1 − ¾·c·a²) = 0.01, so a² = 0.01/(c·(¼ + 0.0075)); a = 0.1 is nominal.
    const cubic: Path = (x) => x - 0.5 * x ** 3;
    const expected = 10 * Math.log10(0.01 / (0.5 * 0.2575)) + 20;
    const found = find({ ...ladder(cubic), beyond: undefined }, undefined);
    expect(found.db).toBeCloseTo(expected, 2);
  });

  it("is known to lie below a step whose wave reaches no further down", () => {
    const above = stepOf(limiter(0.11, 0.11, 0.9), 12);
    const alone = { above, below: undefined, beyond: undefined };
    expect(findOverloadLevel(alone, undefined)).toEqual({ belowDb: 12 - mostReachDb });
    // A step below nominal says as little of where to stop as none.
    const low = stepOf(limiter(0.11, 0.11, 0.9), -3);
    expect(findOverloadLevel({ ...alone, below: low }, undefined)).toEqual({
      belowDb: 12 - mostReachDb,
    });
  });

  it("lies between two steps that are not of one curve, by level or by distortion", () => {
    const { below, above } = ladder(soft);
    const between = {
      db: (below.aboveNominalDb + above.aboveNominalDb) / 2,
      uncertainty: 1.5,
      hasMemory: true,
    };
    const of = (other: AnalyzedStep) => find({ below: other, above, beyond: undefined }, undefined);
    for (const gain of [1.05, 0.95]) expect(of(scaled(below, 1, gain))).toEqual(between);
    expect(of(scaled(below, 4)).uncertainty).toBeGreaterThan(of(below).uncertainty);
    // 0.02 dB are within what two readings of one curve may differ by.
    expect(of(scaled(below, 1, 10 ** (0.02 / 20))).hasMemory).toBeUndefined();
    expect(of(scaled(below, 1, 10 ** (0.06 / 20))).uncertainty).toBeGreaterThan(
      of(below).uncertainty,
    );
  });

  it("lies between them as well where the step beyond is of another curve", () => {
    const { below, above, beyond } = ladder(soft);
    for (const gain of [1.05, 0.95]) {
      const found = find({ below, above, beyond: scaled(beyond, 1, gain) }, undefined);
      expect(found.hasMemory).toBe(true);
    }
  });

  it("is told by phases where the path's filter is known: none may be turned aside", () => {
    const flat: PathFilter = {
      logGains: new Float64Array(count),
      phases: new Float64Array(count),
      variances: new Float64Array(count),
    };
    const { below, above, beyond } = ladder(soft);
    const known = find({ below, above, beyond }, flat);
    expect(Math.abs(known.db - truth(soft))).toBeLessThan(known.uncertainty);
    const turned = { ...above, phases: above.phases.map((p, k) => (k === 2 ? p + 0.5 : p)) };
    expect(find({ below, above: turned, beyond }, flat).hasMemory).toBe(true);
    const alone = { above: turned, below: undefined, beyond: undefined };
    expect(findOverloadLevel(alone, flat)).toEqual({ belowDb: above.aboveNominalDb });
  });

  it("is the less sure the more noise there is, and holds the truth still", () => {
    const [quiet, loud] = [1e-16, 1e-7].map((variance) => find(ladder(soft, variance), undefined));
    expect(loud.uncertainty).toBeGreaterThan(quiet.uncertainty);
    expect(Math.abs(loud.db - truth(soft))).toBeLessThan(loud.uncertainty);
  });
});

it("a step's distortion is that of harmonics 2 to 10, the noise's share taken off", () => {
  const step = (amplitudes: readonly number[], variances: readonly number[]) =>
    computeStepDistortion({
      aboveNominalDb: 0,
      amplitudes: Float64Array.from(amplitudes),
      phases: new Float64Array(amplitudes.length),
      variances: Float64Array.from(variances),
      level: { amplitude: 1, variance: 0 },
    });
  // A² + 2v each is read: (0.04 − 0.002 + 0.01 − 0.004)/2². Its variance 4·A²·v + 4·v² of what is clear.
  const found = step([2, 0.2, 0.1], [9, 0.001, 0.002]);
  expect(found.power).toBeCloseTo(0.044 / 4, 12);
  const own = (a2: number, v: number) => 4 * a2 * v + 4 * v * v;
  expect(found.stdDev).toBeCloseTo(Math.sqrt(own(0.038, 0.001) + own(0.006, 0.002)) / 4, 12);
  expect(found.noise).toBeCloseTo(Math.sqrt(4 * (0.001 ** 2 + 0.002 ** 2)) / 4, 12);
  // Noise alone is none, and what is above the tenth does not count.
  expect(step([1, 0.01], [0, 1]).power).toBe(0);
  expect(step([1, 0.01], [0, 1]).stdDev).toBeCloseTo(2, 12);
  const eleventh = Array.from({ length: 11 }, (_, k) => (k === 0 || k > 9 ? 1 : 0));
  expect(step(eleventh, new Array(11).fill(0)).power).toBe(0);
  expect(step([1, 0, 0, 0, 0, 0, 0, 0, 0, 0.5], new Array(10).fill(0)).power).toBe(0.25);
});

it("a loud step that falls behind is squeezed by what it lacks of 12 dB, as surely as both are read", () => {
  const tone = (amplitude: number, variance: number) => ({
    amplitudes: Float64Array.of(amplitude),
    variances: Float64Array.of(variance),
  });
  const read = (low: object, high: object) =>
    compression.read({ tone: () => low, step: () => high } as never);
  // Three times as high are 9.54 dB; deviations of 1 % and 2 % of an amplitude 20·lg e times 2.24 %,
  // twice that at 95 %.
  const found = read(tone(0.1, 1e-6), tone(0.3, 3.6e-5));
  assertMade(found);
  expect(found.value).toBeCloseTo(20 * Math.log10(3) - 12, 12);
  const noise = 2 * 20 * Math.LOG10E * Math.hypot(0.01, 0.02);
  expect(found.uncertainty).toBeCloseTo(Math.hypot(noise, 3e-4 * found.value), 6);
  // Without noise, that of the settling: 0.3 ‰ of what is squeezed.
  const still = read(tone(0.1, 0), tone(0.1, 0));
  assertMade(still);
  expect(still.uncertainty).toBeCloseTo(3e-4 * 12, 6);
  const absent = { absent: { code: "no-tone" } };
  expect(read(tone(0.1, 0), absent)).toBe(absent);
  expect(read(absent, tone(0.1, 0))).toBe(absent);
});
