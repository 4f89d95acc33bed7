import { choleskySolve } from "./cholesky.js";

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
 * of it and the frequency is refined once more without them. Time runs from the middle of the
 * samples, which splits the normal equations into a cosine and a sine half whose coefficients
 * are closed sums (Dirichlet kernels).
 *
 * @param samples at least three periods
 * @param guess cycles per sample, within three quarters of a cycle over the whole length
 * @param harmonics how many to fit, the fundamental included; those at or above half the
 *   sample rate are left out
 * @throws RangeError when the samples are too short for the frequency
 */
export function fitTone(samples: Float64Array, guess: number, harmonics: number): ToneFit {
  checkLength(samples.length, guess);
  let frequency = coarseFrequency(samples, guess);
  let model = fitHarmonics(samples, frequency, harmonics);
  for (let pass = 0; pass < 2; pass++) {
    frequency = refineFrequency(samples, model, frequency);
    model = fitHarmonics(samples, frequency, harmonics);
  }
  return toneFit(Float64Array.from(samples), model, frequency);
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
 */
export function fitToneAt(samples: Float64Array, frequency: number, harmonics: number): ToneFit {
  checkLength(samples.length, frequency);
  const model = fitHarmonics(samples, frequency, harmonics);
  return toneFit(Float64Array.from(samples), model, frequency);
}

/** How much wider than a plain fit the noise lets {@link windowedAmplitude} scatter: Σw²·N/(Σw)². */
export const windowedSpread = 1.5;

/**
 * Peak amplitude of a tone of known frequency, read through a Hann window: lines elsewhere, such as
 * hum far stronger than the tone, reach a plain fit of few periods by their side lobes and this one
 * not. Nothing nearer than four cycles over the length may stand beside it.
 *
 * @param samples at least eight periods
 * @param frequency cycles per sample
 */
export function windowedAmplitude(samples: Float64Array, frequency: number): number {
  const length = samples.length;
  const omega = 2 * Math.PI * frequency;
  const turn = (2 * Math.PI) / length;
  let re = 0;
  let im = 0;
  let weights = 0;
  for (let n = 0; n < length; n++) {
    const weight = 0.5 - 0.5 * Math.cos(turn * (n + 0.5));
    re += weight * samples[n] * Math.cos(omega * n);
    im += weight * samples[n] * Math.sin(omega * n);
    weights += weight;
  }
  return (2 * Math.hypot(re, im)) / weights;
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

/** Σ cos(φ·m) over `length` samples about their middle. */
export function dirichlet(phi: number, length: number): number {
  const half = Math.sin(phi / 2);
  return Math.abs(half) < 1e-12 ? length : Math.sin((length * phi) / 2) / half;
}

/**
 * Joint least-squares fit of an offset and a harmonic series of known frequency; m counts from
 * the middle of the samples.
 *
 * @param frequency cycles per sample of the fundamental
 * @param harmonics how many; those at or above half the sample rate are left out
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
      const minus = dirichlet((p - q) * omega, length);
      const plus = dirichlet((p + q) * omega, length);
      cosGram[p * (count + 1) + q] = (minus + plus) / 2;
      if (q > 0) sinGram[(p - 1) * count + q - 1] = (minus - plus) / 2;
    }
  }
  choleskySolve(cosGram, cosines);
  choleskySolve(sinGram, sines);
  return { offset: cosines[0], cosines: cosines.subarray(1), sines };
}

/** Σ y·cos(kωm) and Σ y·sin(kωm) for every harmonic; the phasor is set anew now and then. */
function projections(
  samples: Float64Array,
  omega: number,
  count: number,
  cosines: Float64Array,
  sines: Float64Array,
): void {
  const length = samples.length;
  const middle = (length - 1) / 2;
  const turnCos = Math.cos(omega);
  const turnSin = Math.sin(omega);
  let c = 0;
  let s = 0;
  for (let n = 0; n < length; n++) {
    if ((n & 1023) === 0) {
      c = Math.cos(omega * (n - middle));
      s = Math.sin(omega * (n - middle));
    }
    const y = samples[n];
    cosines[0] += y;
    let ck = 1;
    let sk = 0;
    for (let k = 0; k < count; k++) {
      const next = ck * c - sk * s;
      sk = ck * s + sk * c;
      ck = next;
      cosines[k + 1] += y * ck;
      sines[k] += y * sk;
    }
    const turned = c * turnCos - s * turnSin;
    s = c * turnSin + s * turnCos;
    c = turned;
  }
}

/** Subtracts a model, from harmonic `from` on (the offset too, where that is the first). */
function subtract(data: Float64Array, model: Harmonics, frequency: number, from: number): void {
  const { offset, cosines, sines } = model;
  const omega = 2 * Math.PI * frequency;
  const length = data.length;
  const count = cosines.length;
  const middle = (length - 1) / 2;
  const turnCos = Math.cos(omega);
  const turnSin = Math.sin(omega);
  let c = 0;
  let s = 0;
  for (let n = 0; n < length; n++) {
    if ((n & 1023) === 0) {
      c = Math.cos(omega * (n - middle));
      s = Math.sin(omega * (n - middle));
    }
    let ck = 1;
    let sk = 0;
    let sum = from === 1 ? offset : 0;
    for (let k = 0; k < count; k++) {
      const next = ck * c - sk * s;
      sk = ck * s + sk * c;
      ck = next;
      if (k + 1 >= from) sum += cosines[k] * ck + sines[k] * sk;
    }
    data[n] -= sum;
    const turned = c * turnCos - s * turnSin;
    s = c * turnSin + s * turnCos;
    c = turned;
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

/** Gauss–Newton steps on the frequency with the harmonics taken out. */
function refineFrequency(samples: Float64Array, model: Harmonics, guess: number): number {
  const length = samples.length;
  const middle = (length - 1) / 2;
  const data = Float64Array.from(samples);
  subtract(data, model, guess, 2);
  let frequency = guess;
  const gram = new Float64Array(16);
  const right = new Float64Array(4);
  let a = model.cosines[0];
  let b = model.sines[0];
  for (let pass = 0; pass < 4; pass++) {
    const omega = 2 * Math.PI * frequency;
    gram.fill(0);
    right.fill(0);
    const turnCos = Math.cos(omega);
    const turnSin = Math.sin(omega);
    let c = 0;
    let s = 0;
    for (let n = 0; n < length; n++) {
      const m = n - middle;
      if ((n & 1023) === 0) {
        c = Math.cos(omega * m);
        s = Math.sin(omega * m);
      }
      // the frequency's column is scaled to the others' size by the half length
      const d = (m / middle) * (b * c - a * s);
      const y = data[n];
      gram[0] += c * c;
      gram[4] += s * c;
      gram[5] += s * s;
      gram[8] += c;
      gram[9] += s;
      gram[12] += d * c;
      gram[13] += d * s;
      gram[14] += d;
      gram[15] += d * d;
      right[0] += y * c;
      right[1] += y * s;
      right[2] += y;
      right[3] += y * d;
      const turned = c * turnCos - s * turnSin;
      s = c * turnSin + s * turnCos;
      c = turned;
    }
    gram[10] = length;
    if (!(gram[15] > 0)) return frequency;
    choleskySolve(gram, right);
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
