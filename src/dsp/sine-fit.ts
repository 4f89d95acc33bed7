import { borrowCopy, withBuffer } from "./buffer-pool.js";
import { solveCholesky } from "./cholesky.js";

/** A tone with its harmonics, as fitted to samples. */
export interface ToneFit {
  /** Cycles per sample of the fundamental. */
  readonly frequency: number;
  /** Mean of the samples. */
  readonly offset: number;
  /** Peak amplitude of harmonic 1, 2, …: index 0 is the fundamental. */
  readonly amplitudes: Float64Array;
  /** Phase of each harmonic at the middle of the samples, radians, cosine reference. */
  readonly phases: Float64Array;
  /** What the model leaves, as many samples as were given. */
  readonly residual: Float64Array;
}

const leastPeriods = 3;

/**
 * Least-squares fit of a tone of unknown frequency and its harmonics, so that nothing depends
 * on whole periods in a window.
 *
 * The frequency comes from the four-parameter sine fit of IEEE Std 1057 (Gauss–Newton on
 * amplitude, phase, offset and frequency), then all harmonics are fitted together at multiples
 * of it, the frequency is refined without them and they are fitted again. Time runs from the middle of the
 * samples, which splits the normal equations into a cosine and a sine half whose coefficients
 * are closed sums (Dirichlet kernels).
 *
 * @param samples at least three periods
 * @param guess cycles per sample, within three quarters of a cycle over the whole length
 * @param harmonics how many to fit, the fundamental included; those at or above half the
 *   sample rate are left out
 * @throws RangeError when the samples are too short for the frequency
 * @example
 * const tone = Float64Array.from({ length: 4800 }, (_, n) => Math.cos(2 * Math.PI * 0.0211 * n));
 * fitTone(tone, 0.021, 3).frequency.toFixed(6); // "0.021100"
 */
export function fitTone(samples: Float64Array, guess: number, harmonics: number): ToneFit {
  checkLength(samples.length, guess);
  const coarse = coarseFrequency(samples, guess);
  const rough = refineFrequency(samples, fitHarmonics(samples, coarse, 1), coarse);
  const model = fitHarmonics(samples, rough, harmonics);
  const frequency = withBuffer(samples.length, (alone) => {
    alone.set(samples);
    subtract(alone, model, rough, 2);
    return refineFrequency(alone, model, rough);
  });
  return toneFit(borrowCopy(samples), fitHarmonics(samples, frequency, harmonics), frequency);
}

/**
 * The same fit for a tone whose frequency is known already, from a longer stretch of the same
 * clock: linear, so nothing strays however weak the tone.
 *
 * @param samples at least three periods
 * @param frequency cycles per sample of the fundamental
 * @param harmonics how many to fit, the fundamental included; those at or above half the
 *   sample rate are left out
 * @throws RangeError when the samples are too short for the frequency
 * @example
 * const tone = Float64Array.from({ length: 4800 }, (_, n) => Math.cos(2 * Math.PI * 0.02 * n));
 * fitToneAt(tone, 0.02, 3).frequency; // 0.02
 */
export function fitToneAt(samples: Float64Array, frequency: number, harmonics: number): ToneFit {
  checkLength(samples.length, frequency);
  const model = fitHarmonics(samples, frequency, harmonics);
  return toneFit(borrowCopy(samples), model, frequency);
}

/** How much wider than a plain fit the noise lets {@link computeWindowedAmplitude} scatter: Σw²·N/(Σw)². */
export const windowedStdDevFactor = 1.5;

/**
 * Peak amplitude of a tone of known frequency, read through a Hann window: lines elsewhere, such as
 * hum far stronger than the tone, reach a plain fit of few periods by their side lobes and this one
 * not. Nothing nearer than four cycles over the length may stand beside it.
 *
 * @param samples at least eight periods
 * @param frequency cycles per sample
 * @example
 * const tone = Float64Array.from({ length: 4800 }, (_, n) => 0.3 * Math.cos((2 * Math.PI * n) / 48));
 * computeWindowedAmplitude(tone, 1 / 48).toFixed(4); // "0.3000"
 */
export function computeWindowedAmplitude(samples: Float64Array, frequency: number): number {
  const length = samples.length;
  const omega = 2 * Math.PI * frequency;
  const turn = (2 * Math.PI) / length;
  const turnCos = Math.cos(omega);
  const turnSin = Math.sin(omega);
  const slowCos = Math.cos(turn);
  const slowSin = Math.sin(turn);
  let re = 0;
  let im = 0;
  let c = 0;
  let s = 0;
  let windowC = 0;
  let windowS = 0;
  for (let n = 0; n < length; n++) {
    if (n % restartEvery === 0) {
      c = Math.cos(omega * n);
      s = Math.sin(omega * n);
      windowC = Math.cos(turn * (n + 0.5));
      windowS = Math.sin(turn * (n + 0.5));
    }
    const weighted = (0.5 - 0.5 * windowC) * samples[n];
    re += weighted * c;
    im += weighted * s;
    const turned = c * turnCos - s * turnSin;
    s = c * turnSin + s * turnCos;
    c = turned;
    const windowTurned = windowC * slowCos - windowS * slowSin;
    windowS = windowC * slowSin + windowS * slowCos;
    windowC = windowTurned;
  }
  // The weights sum to half the length: their cosine goes round once.
  return (4 * Math.hypot(re, im)) / length;
}

/** `residual` holds the samples and is made what the model leaves of them. */
function toneFit(residual: Float64Array, model: Harmonics, frequency: number): ToneFit {
  subtract(residual, model, frequency, 1);
  const { cosines, sines, offset } = model;
  const amplitudes = cosines.map((c, k) => Math.hypot(c, sines[k]));
  const phases = cosines.map((c, k) => Math.atan2(-sines[k], c));
  return { frequency, offset, amplitudes, phases, residual };
}

function checkLength(length: number, frequency: number): void {
  if (length * frequency < leastPeriods || !(frequency > 0 && frequency < 0.5)) {
    throw new RangeError(
      `${length} samples are too few for a tone of ${frequency} cycles a sample`,
    );
  }
}

/** A harmonic series: offset + Σ cosines[k]·cos((k+1)ωm) + sines[k]·sin((k+1)ωm). */
export interface Harmonics {
  readonly offset: number;
  readonly cosines: Float64Array;
  readonly sines: Float64Array;
}

/**
 * Σ cos(φ·m) over `length` samples about their middle.
 *
 * @example
 * computeDirichlet(0, 5); // 5
 */
export function computeDirichlet(phi: number, length: number): number {
  const half = Math.sin(phi / 2);
  return Math.abs(half) < 1e-12 ? length : Math.sin((length * phi) / 2) / half;
}

/**
 * Joint least-squares fit of an offset and a harmonic series of known frequency; m counts from
 * the middle of the samples.
 *
 * @param frequency cycles per sample of the fundamental
 * @param harmonics how many; those at or above half the sample rate are left out
 * @example
 * const tone = Float64Array.from({ length: 480 }, (_, n) => 0.25 + Math.cos((2 * Math.PI * n) / 48));
 * fitHarmonics(tone, 1 / 48, 2).offset; // 0.25
 */
export function fitHarmonics(
  samples: Float64Array,
  frequency: number,
  harmonics: number,
): Harmonics {
  const length = samples.length;
  const count = Math.min(harmonics, Math.ceil(0.5 / frequency) - 1);
  const omega = 2 * Math.PI * frequency;
  const cosines = new Float64Array(count + 1); // index 0 is the offset
  const sines = new Float64Array(count);
  projections(samples, omega, count, cosines, sines);

  const cosGram = new Float64Array((count + 1) * (count + 1));
  const sinGram = new Float64Array(count * count);
  for (let p = 0; p <= count; p++) {
    for (let q = 0; q <= p; q++) {
      const minus = computeDirichlet((p - q) * omega, length);
      const plus = computeDirichlet((p + q) * omega, length);
      cosGram[p * (count + 1) + q] = (minus + plus) / 2;
      if (q > 0) sinGram[(p - 1) * count + q - 1] = (minus - plus) / 2;
    }
  }
  solveCholesky(cosGram, cosines);
  solveCholesky(sinGram, sines);
  return { offset: cosines[0], cosines: cosines.subarray(1), sines };
}

/** The phasor is recomputed after this many samples, before rounding shows. */
const restartEvery = 1024;

/**
 * Σ y·cos(kωm) and Σ y·sin(kωm) for every harmonic. Samples as far before the middle as others are
 * behind it go together: their sum meets the cosines, their difference the sines.
 */
function projections(
  samples: Float64Array,
  omega: number,
  count: number,
  cosines: Float64Array,
  sines: Float64Array,
): void {
  const length = samples.length;
  const half = length >> 1;
  const turnCos = Math.cos(omega);
  const turnSin = Math.sin(omega);
  let before = half - 1;
  let behind = length - half;
  const nearest = behind - (length - 1) / 2;
  if (length % 2 === 1) for (let k = 0; k <= count; k++) cosines[k] += samples[half];
  let c = 0;
  let s = 0;
  // Two instants at once: each harmonic of one waits for the one before, not for the other's.
  for (let n = 0; n < half; n += 2, before -= 2, behind += 2) {
    if (n % restartEvery === 0) {
      c = Math.cos(omega * (nearest + n));
      s = Math.sin(omega * (nearest + n));
    }
    const second = n + 1 < half;
    const even = samples[behind] + samples[before];
    const odd = samples[behind] - samples[before];
    const even2 = second ? samples[behind + 1] + samples[before - 1] : 0;
    const odd2 = second ? samples[behind + 1] - samples[before - 1] : 0;
    const c2 = c * turnCos - s * turnSin;
    const s2 = c * turnSin + s * turnCos;
    // cos((k+1)x) = 2·cos x·cos(kx) − cos((k−1)x), and the sines alike
    const twice = 2 * c;
    const twice2 = 2 * c2;
    let ck = c;
    let sk = s;
    let ckLast = 1;
    let skLast = 0;
    let ck2 = c2;
    let sk2 = s2;
    let ckLast2 = 1;
    let skLast2 = 0;
    cosines[0] += even + even2;
    for (let k = 0; k < count; k++) {
      cosines[k + 1] += even * ck + even2 * ck2;
      sines[k] += odd * sk + odd2 * sk2;
      const ckNext = twice * ck - ckLast;
      const skNext = twice * sk - skLast;
      ckLast = ck;
      skLast = sk;
      ck = ckNext;
      sk = skNext;
      const ckNext2 = twice2 * ck2 - ckLast2;
      const skNext2 = twice2 * sk2 - skLast2;
      ckLast2 = ck2;
      skLast2 = sk2;
      ck2 = ckNext2;
      sk2 = skNext2;
    }
    c = c2 * turnCos - s2 * turnSin;
    s = c2 * turnSin + s2 * turnCos;
  }
}

/** Subtracts a model, from harmonic `from` on (the offset too, where that is the first). */
function subtract(data: Float64Array, model: Harmonics, frequency: number, from: number): void {
  const cosines = model.cosines.slice().fill(0, 0, from - 1);
  const sines = model.sines.slice().fill(0, 0, from - 1);
  const omega = 2 * Math.PI * frequency;
  const length = data.length;
  const half = length >> 1;
  const count = cosines.length;
  const offset = from === 1 ? model.offset : 0;
  const turnCos = Math.cos(omega);
  const turnSin = Math.sin(omega);
  let before = half - 1;
  let behind = length - half;
  const nearest = behind - (length - 1) / 2;
  if (length % 2 === 1) {
    data[half] -= offset;
    for (let k = 0; k < count; k++) data[half] -= cosines[k];
  }
  let c = 0;
  let s = 0;
  // Two instants at once, as in the projections.
  for (let n = 0; n < half; n += 2, before -= 2, behind += 2) {
    if (n % restartEvery === 0) {
      c = Math.cos(omega * (nearest + n));
      s = Math.sin(omega * (nearest + n));
    }
    const c2 = c * turnCos - s * turnSin;
    const s2 = c * turnSin + s * turnCos;
    const twice = 2 * c;
    const twice2 = 2 * c2;
    let ck = c;
    let sk = s;
    let ckLast = 1;
    let skLast = 0;
    let ck2 = c2;
    let sk2 = s2;
    let ckLast2 = 1;
    let skLast2 = 0;
    let even = offset;
    let odd = 0;
    let even2 = offset;
    let odd2 = 0;
    for (let k = 0; k < count; k++) {
      even += cosines[k] * ck;
      odd += sines[k] * sk;
      even2 += cosines[k] * ck2;
      odd2 += sines[k] * sk2;
      const ckNext = twice * ck - ckLast;
      const skNext = twice * sk - skLast;
      ckLast = ck;
      skLast = sk;
      ck = ckNext;
      sk = skNext;
      const ckNext2 = twice2 * ck2 - ckLast2;
      const skNext2 = twice2 * sk2 - skLast2;
      ckLast2 = ck2;
      skLast2 = sk2;
      ck2 = ckNext2;
      sk2 = skNext2;
    }
    data[behind] -= even + odd;
    data[before] -= even - odd;
    if (n + 1 < half) {
      data[behind + 1] -= even2 + odd2;
      data[before - 1] -= even2 - odd2;
    }
    c = c2 * turnCos - s2 * turnSin;
    s = c2 * turnSin + s2 * turnCos;
  }
}

/** The phase a tone gains from the first half to the second corrects the guess to a few per cent of a bin. */
function coarseFrequency(samples: Float64Array, guess: number): number {
  const half = samples.length >> 1;
  const early = fitHarmonics(samples.subarray(0, half), guess, 1);
  const late = fitHarmonics(samples.subarray(half, 2 * half), guess, 1);
  const gained =
    Math.atan2(-late.sines[0], late.cosines[0]) - Math.atan2(-early.sines[0], early.cosines[0]);
  const expected = 2 * Math.PI * guess * half;
  const off = gained - expected;
  const turned = Math.atan2(Math.sin(off), Math.cos(off));
  return guess + turned / (2 * Math.PI * half);
}

/**
 * Gauss–Newton steps on the frequency of a lone tone. All sums but those over the samples
 * themselves are closed.
 */
function refineFrequency(data: Float64Array, model: Harmonics, guess: number): number {
  const length = data.length;
  const middle = (length - 1) / 2;
  let frequency = guess;
  let a = model.cosines[0];
  let b = model.sines[0];
  for (let pass = 0; pass < 4; pass++) {
    const omega = 2 * Math.PI * frequency;
    const one = dirichletSlopes(omega, length);
    const two = dirichletSlopes(2 * omega, length);
    const sums = momentSums(data, omega);
    // columns cos, sin, 1 and (m/middle)·(b·cos − a·sin), the frequency's, scaled to the others' size
    const squares = (length * (length * length - 1)) / 12;
    const slope = ((a * a + b * b) * squares - (b * b - a * a) * two.second) / 2;
    const gram = new Float64Array(16);
    gram[0] = (length + two.value) / 2;
    gram[5] = (length - two.value) / 2;
    gram[8] = one.value;
    gram[10] = length;
    gram[12] = (a * two.first) / 2 / middle;
    gram[13] = (-b * two.first) / 2 / middle;
    gram[14] = (a * one.first) / middle;
    gram[15] = slope / middle ** 2;
    if (!(gram[15] > 0)) return frequency;
    const { cos, sin, plain, mCos, mSin } = sums;
    const right = Float64Array.of(cos, sin, plain, (b * mCos - a * mSin) / middle);
    solveCholesky(gram, right);
    a = right[0];
    b = right[1];
    const step = right[3] / middle / (2 * Math.PI);
    // A step beyond the resolution of the record means there is no tone to follow.
    if (Math.abs(frequency + step - guess) > 0.5 / length) return guess;
    frequency += step;
    if (Math.abs(step) * length < 1e-10) break;
  }
  return frequency;
}

/**
 * Σ cos(φm) over `length` samples about their middle, with its first and second derivative by φ:
 * −Σ m·sin(φm) and −Σ m²·cos(φm).
 */
function dirichletSlopes(phi: number, length: number) {
  const value = computeDirichlet(phi, length);
  const sin = Math.sin(phi / 2);
  const cot = Math.cos(phi / 2) / sin;
  const first = ((length * Math.cos((length * phi) / 2)) / sin - value * cot) / 2;
  const second = (-(length * length - 1) / 4) * value - cot * first;
  return { value, first, second };
}

/** Σ y, Σ y·cos(ωm), Σ y·sin(ωm), Σ m·y·cos(ωm) and Σ m·y·sin(ωm) about the middle. */
function momentSums(data: Float64Array, omega: number) {
  const length = data.length;
  const half = length >> 1;
  const turnCos = Math.cos(omega);
  const turnSin = Math.sin(omega);
  let before = half - 1;
  let behind = length - half;
  const nearest = behind - (length - 1) / 2;
  const centre = length % 2 === 1 ? data[half] : 0;
  let plain = centre;
  let cos = centre;
  let sin = 0;
  let mCos = 0;
  let mSin = 0;
  let c = 0;
  let s = 0;
  for (let n = 0; n < half; n++, before--, behind++) {
    const m = nearest + n;
    if (n % restartEvery === 0) {
      c = Math.cos(omega * m);
      s = Math.sin(omega * m);
    }
    const even = data[behind] + data[before];
    const odd = data[behind] - data[before];
    plain += even;
    cos += even * c;
    sin += odd * s;
    mCos += m * odd * c;
    mSin += m * even * s;
    const turned = c * turnCos - s * turnSin;
    s = c * turnSin + s * turnCos;
    c = turned;
  }
  return { plain, cos, sin, mCos, mSin };
}
