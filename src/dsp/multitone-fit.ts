import { borrowBuffer } from "./buffer-pool.js";
import { solveCholesky } from "./cholesky.js";
import { computeDirichlet } from "./sine-fit.js";

/** A line of a mixture: how many times each base frequency enters it, e.g. [-1, 1] for f2 − f1. */
export type Combination = readonly number[];

/** Several lines at whole combinations of a few unrelated base frequencies, fitted together. */
export interface MultitoneFit {
  /** Cycles per sample of each base, as found. */
  readonly bases: readonly number[];
  /** Mean of the samples. */
  readonly offset: number;
  /** Peak amplitude of each line, in the order asked for. */
  readonly amplitudes: Float64Array;
  /** Phase of each line at the middle of the samples, radians, cosine reference. */
  readonly phases: Float64Array;
  /** What the model leaves, as many samples as were given. */
  readonly residual: Float64Array;
}

/** Lines closer together than this many cycles over the samples cannot be separated. */
const leastApart = 3;
const passes = 2;

/**
 * Least-squares fit of base tones of unknown frequency and of lines at combinations of them, such
 * as the difference tones that a non-linear path makes of two tones. Nothing depends on whole periods.
 *
 * The amplitudes come from the normal equations, whose coefficients are closed sums; the base
 * frequencies from Gauss–Newton steps as in the four-parameter sine fit of IEEE Std 1057. About
 * the middle of the samples the column of a frequency is orthogonal to the amplitudes'
 * (to one part in the number of cycles between the lines), so each frequency is stepped alone and
 * a few passes take the rest.
 *
 * @param samples at least three cycles of every line and of every difference between lines
 * @param guesses cycles per sample of each base, within half a cycle over the whole length
 * @param combinations lines besides the bases themselves; all between 0 and half the sample rate
 * @returns lines in the order: the bases, then the combinations
 * @throws RangeError when the samples are too few to separate the lines
 * @example
 * // 19 kHz and 20 kHz with the difference tones of second and third order
 * const tone = (hz, n) => Math.cos((2 * Math.PI * hz * n) / 96000);
 * const both = (n) => tone(19000, n) + tone(20000, n) + 0.001 * tone(1000, n);
 * const samples = Float64Array.from({ length: 9600 }, (_, n) => both(n));
 * const guesses = [19000 / 96000, 20000 / 96000];
 * const { amplitudes } = fitMultitone(samples, guesses, [[-1, 1], [2, -1], [-1, 2]]);
 * amplitudes[2].toFixed(6); // "0.001000"
 */
export function fitMultitone(
  samples: Float64Array,
  guesses: readonly number[],
  combinations: readonly Combination[],
): MultitoneFit {
  const lines = [
    ...guesses.map((_, i) => guesses.map((_, j) => (i === j ? 1 : 0))),
    ...combinations,
  ];
  let bases = coarse(samples, guesses);
  checkApart(frequenciesOf(lines, bases), samples.length);
  const residual = borrowBuffer(samples.length);
  let model = fitAt(samples, frequenciesOf(lines, bases));
  for (let pass = 0; pass < passes; pass++) {
    residual.set(samples);
    subtract(residual, model);
    const steps = bases.map((_, k) => frequencyStep(residual, model, k));
    // A step beyond the resolution of the record means there is no tone to follow.
    bases = bases.map((f, k) => (Math.abs(steps[k]) * samples.length > 0.5 ? f : f + steps[k]));
    model = fitAt(samples, frequenciesOf(lines, bases));
  }
  residual.set(samples);
  subtract(residual, model);
  return {
    bases,
    offset: model.offset,
    amplitudes: model.cosines.map((c, k) => Math.hypot(c, model.sines[k])),
    phases: model.cosines.map((c, k) => Math.atan2(-model.sines[k], c)),
    residual,
  };
}

interface Model {
  readonly frequencies: readonly number[];
  readonly offset: number;
  readonly cosines: Float64Array;
  readonly sines: Float64Array;
}

function frequenciesOf(lines: readonly Combination[], bases: readonly number[]): number[] {
  return lines.map((line) => line.reduce((sum, times, k) => sum + times * bases[k], 0));
}

function checkApart(frequencies: readonly number[], length: number): void {
  const marks = [0, ...frequencies].sort((a, b) => a - b);
  marks.forEach((mark, k) => {
    if (k === 0) return;
    if ((mark - marks[k - 1]) * length < leastApart || mark >= 0.5) {
      throw new RangeError(`${length} samples do not tell lines at ${marks.join(", ")} apart`);
    }
  });
  if (marks[0] < 0) throw new RangeError("a line's frequency is below zero");
}

/** Amplitudes of lines at known frequencies. */
function fitAt(samples: Float64Array, frequencies: readonly number[]): Model {
  const length = samples.length;
  const count = frequencies.length;
  const cosines = new Float64Array(count + 1); // index 0 is the offset
  const sines = new Float64Array(count);
  cosines[0] = sumOf(samples);
  for (let k = 0; k < count; k++) project(samples, frequencies[k], cosines, sines, k);
  const omegas = [0, ...frequencies.map((f) => 2 * Math.PI * f)];
  const cosGram = new Float64Array((count + 1) * (count + 1));
  const sinGram = new Float64Array(count * count);
  for (let p = 0; p <= count; p++) {
    for (let q = 0; q <= p; q++) {
      const minus = computeDirichlet(omegas[p] - omegas[q], length);
      const plus = computeDirichlet(omegas[p] + omegas[q], length);
      cosGram[p * (count + 1) + q] = (minus + plus) / 2;
      if (q > 0) sinGram[(p - 1) * count + q - 1] = (minus - plus) / 2;
    }
  }
  solveCholesky(cosGram, cosines);
  solveCholesky(sinGram, sines);
  return { frequencies, offset: cosines[0], cosines: cosines.subarray(1), sines };
}

function sumOf(samples: Float64Array): number {
  let sum = 0;
  for (let n = 0; n < samples.length; n++) sum += samples[n];
  return sum;
}

/** Phasors are recomputed this often, which keeps rounding at that of a sine. */
const restartEvery = 1024;

/**
 * Σ y·cos(ωm) and Σ y·sin(ωm) of one line, m counted from the middle: samples as far before it as
 * others are behind it go together, their sum with the cosine, their difference with the sine.
 */
function project(
  samples: Float64Array,
  frequency: number,
  cosines: Float64Array,
  sines: Float64Array,
  line: number,
): void {
  const omega = 2 * Math.PI * frequency;
  const half = samples.length >> 1;
  const turnCos = Math.cos(omega);
  const turnSin = Math.sin(omega);
  let before = half - 1;
  let behind = samples.length - half;
  const nearest = behind - (samples.length - 1) / 2;
  let c = 0;
  let s = 0;
  let sumC = samples.length % 2 === 1 ? samples[half] : 0;
  let sumS = 0;
  for (let n = 0; n < half; n++, before--, behind++) {
    if (n % restartEvery === 0) {
      c = Math.cos(omega * (nearest + n));
      s = Math.sin(omega * (nearest + n));
    }
    sumC += (samples[behind] + samples[before]) * c;
    sumS += (samples[behind] - samples[before]) * s;
    const turned = c * turnCos - s * turnSin;
    s = c * turnSin + s * turnCos;
    c = turned;
  }
  cosines[line + 1] = sumC;
  sines[line] = sumS;
}

function subtract(data: Float64Array, model: Model): void {
  const { frequencies, offset, cosines, sines } = model;
  const half = data.length >> 1;
  const nearest = data.length - half - (data.length - 1) / 2;
  for (let n = 0; n < data.length; n++) data[n] -= offset;
  for (let k = 0; k < frequencies.length; k++) {
    const omega = 2 * Math.PI * frequencies[k];
    const turnCos = Math.cos(omega);
    const turnSin = Math.sin(omega);
    const a = cosines[k];
    const b = sines[k];
    if (data.length % 2 === 1) data[half] -= a;
    let before = half - 1;
    let behind = data.length - half;
    let c = 0;
    let s = 0;
    for (let n = 0; n < half; n++, before--, behind++) {
      if (n % restartEvery === 0) {
        c = Math.cos(omega * (nearest + n));
        s = Math.sin(omega * (nearest + n));
      }
      const even = a * c;
      const odd = b * s;
      data[behind] -= even + odd;
      data[before] -= even - odd;
      const turned = c * turnCos - s * turnSin;
      s = c * turnSin + s * turnCos;
      c = turned;
    }
  }
}

/** Gauss–Newton step of one base's frequency, cycles per sample, from what the model leaves. */
function frequencyStep(residual: Float64Array, model: Model, line: number): number {
  const sums: SlopeSums = { along: 0, square: 0 };
  // In pieces: a function that is called often is compiled soon and stays so.
  for (let from = 0; from < residual.length; from += restartEvery) {
    addSlope(sums, residual, from, model, line);
  }
  const { along, square } = sums;
  return square > 0 ? along / square / (2 * Math.PI) : 0;
}

/** What the model leaves times how a line changes with its frequency, and the square of that. */
interface SlopeSums {
  along: number;
  square: number;
}

/** Adds the samples from a place on until phasors are to be recomputed. */
function addSlope(
  sums: SlopeSums,
  residual: Float64Array,
  from: number,
  { frequencies, cosines, sines }: Model,
  line: number,
): void {
  const omega = 2 * Math.PI * frequencies[line];
  const middle = (residual.length - 1) / 2;
  const turnCos = Math.cos(omega);
  const turnSin = Math.sin(omega);
  const a = cosines[line];
  const b = sines[line];
  let { along, square } = sums;
  let c = Math.cos(omega * (from - middle));
  let s = Math.sin(omega * (from - middle));
  const end = Math.min(residual.length, from + restartEvery);
  for (let n = from; n < end; n++) {
    const d = (n - middle) * (b * c - a * s);
    along += residual[n] * d;
    square += d * d;
    const turned = c * turnCos - s * turnSin;
    s = c * turnSin + s * turnCos;
    c = turned;
  }
  sums.along = along;
  sums.square = square;
}

/** The phase that each base gains from the first half to the second corrects its guess. */
function coarse(samples: Float64Array, guesses: readonly number[]): readonly number[] {
  const half = samples.length >> 1;
  const early = fitAt(samples.subarray(0, half), guesses);
  const late = fitAt(samples.subarray(half, 2 * half), guesses);
  return guesses.map((guess, k) => {
    const gained =
      Math.atan2(-late.sines[k], late.cosines[k]) - Math.atan2(-early.sines[k], early.cosines[k]);
    const off = gained - 2 * Math.PI * guess * half;
    return guess + Math.atan2(Math.sin(off), Math.cos(off)) / (2 * Math.PI * half);
  });
}
