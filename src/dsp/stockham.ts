import { createOwnBuffer } from "./buffer-pool.js";

/**
 * A complex transform of one size, its result in order without a permutation (T. G. Stockham's
 * autosort form of the fast Fourier transform, radix 4 with a last step of radix 2 where the size
 * asks for one: C. Van Loan, "Computational Frameworks for the Fast Fourier Transform", SIAM 1992;
 * the form is from memory, its results are compared with the definition and a library in the
 * tests).
 *
 * Every step reads and writes memory in runs, so that large sizes go through the processor's caches
 * as well as small ones do; a transform that gathers its input by reversed digits needs 2.5 times as
 * long from a hundred thousand points on.
 */
export interface ComplexTransform {
  /**
   * @param data `size` complex numbers, interleaved; left as they are
   * @param out as many, another array
   */
  transform(data: Float64Array, out: Float64Array): void;
  /** The way back, divided by the size. */
  inverseTransform(data: Float64Array, out: Float64Array): void;
}

/** A step of radix 4: `groups` butterflies with twiddle factors of their own, each `stride` times. */
interface Step {
  readonly groups: number;
  readonly stride: number;
}

/**
 * @param size complex numbers, a power of two from 2 on; `createFftPlan` refuses any other
 * @example
 * const out = new Float64Array(2 * 4);
 * createStockham(4).transform(Float64Array.of(1, 0, 1, 0, 1, 0, 1, 0), out);
 * [...out]; // [4, 0, 0, 0, 0, 0, 0, 0]
 */
export function createStockham(size: number): ComplexTransform {
  const steps: Step[] = [];
  let left = size;
  for (let stride = 1; left >= 4; left /= 4, stride *= 4) {
    steps.push({ groups: left / 4, stride });
  }
  if (size > twiddles.size) twiddles = makeTwiddles(size);
  const halves = left === 2;
  const passes = steps.length + (halves ? 1 : 0);

  function transform(data: Float64Array, out: Float64Array): void {
    const room = roomBetween(2 * size);
    let from = data;
    for (let k = 0; k < steps.length; k++) {
      // The last pass ends in `out`.
      const to = (passes - k) % 2 === 1 ? out : room;
      butterflies(steps[k], from, to);
      from = to;
    }
    if (halves) lastHalves(size, from, out);
  }

  return {
    transform,
    inverseTransform(data, out) {
      transform(data, out);
      turnedRound(size, out);
    },
  };
}

/** e^(−2πip/size), its square and its cube for p from 0 to size/4, interleaved. */
interface Twiddles {
  readonly size: number;
  readonly values: Float64Array;
}

/** Those of the largest size asked for: a smaller size, or a later step, uses every other or fewer. */
let twiddles: Twiddles = { size: 0, values: new Float64Array(0) };

function makeTwiddles(size: number): Twiddles {
  const values = new Float64Array((6 * size) / 4);
  for (let p = 0; p < size / 4; p++) {
    for (let times = 1; times <= 3; times++) {
      const angle = (-2 * Math.PI * p * times) / size;
      values[6 * p + 2 * times - 2] = Math.cos(angle);
      values[6 * p + 2 * times - 1] = Math.sin(angle);
    }
  }
  return { size, values };
}

/** For the passes between, one for all sizes of a thread. */
const roomBetween = createOwnBuffer();

/** Runs of `stride` butterflies that share their twiddle factors. */
function butterflies({ groups, stride }: Step, x: Float64Array, y: Float64Array): void {
  const run = 2 * stride;
  const ahead = run * groups;
  const { size, values } = twiddles;
  const next = (6 * size) / (4 * groups);
  for (let p = 0, t = 0; p < groups; p++, t += next) {
    const re1Turn = values[t];
    const im1Turn = values[t + 1];
    const re2Turn = values[t + 2];
    const im2Turn = values[t + 3];
    const re3Turn = values[t + 4];
    const im3Turn = values[t + 5];
    const end = run * (p + 1);
    for (let a = run * p, o = 4 * run * p; a < end; a += 2, o += 2) {
      const b = a + ahead;
      const c = b + ahead;
      const d = c + ahead;
      // Each is read once: what was read from an array is not kept by itself.
      const aRe = x[a];
      const aIm = x[a + 1];
      const bRe = x[b];
      const bIm = x[b + 1];
      const cRe = x[c];
      const cIm = x[c + 1];
      const dRe = x[d];
      const dIm = x[d + 1];
      const acRe = aRe + cRe;
      const acIm = aIm + cIm;
      const aLessRe = aRe - cRe;
      const aLessIm = aIm - cIm;
      const bdRe = bRe + dRe;
      const bdIm = bIm + dIm;
      const bLessRe = bRe - dRe;
      const bLessIm = bIm - dIm;
      y[o] = acRe + bdRe;
      y[o + 1] = acIm + bdIm;
      const re1 = aLessRe + bLessIm;
      const im1 = aLessIm - bLessRe;
      y[o + run] = re1 * re1Turn - im1 * im1Turn;
      y[o + run + 1] = re1 * im1Turn + im1 * re1Turn;
      const re2 = acRe - bdRe;
      const im2 = acIm - bdIm;
      y[o + 2 * run] = re2 * re2Turn - im2 * im2Turn;
      y[o + 2 * run + 1] = re2 * im2Turn + im2 * re2Turn;
      const re3 = aLessRe - bLessIm;
      const im3 = aLessIm + bLessRe;
      y[o + 3 * run] = re3 * re3Turn - im3 * im3Turn;
      y[o + 3 * run + 1] = re3 * im3Turn + im3 * re3Turn;
    }
  }
}

/** Sums and differences of the two halves. */
function lastHalves(size: number, x: Float64Array, y: Float64Array): void {
  for (let a = 0, b = size; a < size; a++, b++) {
    const first = x[a];
    const second = x[b];
    y[a] = first + second;
    y[b] = first - second;
  }
}

/** From X[k] to X[−k]/size, which makes the way back of the way there. */
function turnedRound(size: number, x: Float64Array): void {
  const share = 1 / size;
  x[0] *= share;
  x[1] *= share;
  for (let a = 2, b = 2 * size - 2; a <= b; a += 2, b -= 2) {
    const re = x[a] * share;
    const im = x[a + 1] * share;
    x[a] = x[b] * share;
    x[a + 1] = x[b + 1] * share;
    x[b] = re;
    x[b + 1] = im;
  }
}
