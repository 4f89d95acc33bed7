import { borrowBuffer, createOwnBuffer } from "./buffer-pool.js";
import { computeNextPowerOfTwo, createFftPlan } from "./fft.js";

/** Complex value of a causal shaping filter at a frequency. */
export interface Complex {
  readonly re: number;
  readonly im: number;
}

/**
 * Impulse response by division of spectra, circular: index 0 is time zero, negative times are at
 * the end. With an exponential sweep the linear response begins at time zero, that of the n-th
 * harmonic at −L·ln n (Novak et al. 2015, eq. 38).
 */
export interface ImpulseResponse {
  readonly samples: Float64Array;
  readonly sampleRate: number;
}

/** A reference sweep prepared for division, kept for all returns that share a clock. */
export interface SweepReference {
  readonly size: number;
  readonly sampleRate: number;
  /** Squared magnitude of its spectrum, bins 0 … size/2. */
  readonly power: Float64Array;
  readonly fromHz: number;
  readonly toHz: number;
  /** Factor for a recording's spectrum, interleaved, bins 0 … size/2. */
  readonly inverse: Float64Array;
}

/** The division is regularised this far below the strongest bin; it only acts outside the band. */
const regularisation = 1e-9;
/** The upper edge of the band is rounded off over the rest of it. */
const upperEdge = 0.97;

/**
 * Prepares a reference for {@link deconvolve}.
 *
 * Below the band the result is shaped by a causal high-pass (see {@link createHighPassShape}), so that
 * the edge does not ring backwards in time into the harmonics' responses; callers divide it
 * out again at the frequencies that they read.
 *
 * @param sweep the sweep as sent, at the capture's clock
 * @param sampleRate samples per second
 * @param fromHz where the sweep begins
 * @param toHz where it ends; at most half the sample rate
 * @example
 * const sweep = synthesise(buildSignalTable("quick", "base"), 48000);
 * const reference = createSweepReference(sweep, 48000, 20, 20000);
 * deconvolve(reference, sweep, 0).samples.length > 48000; // true
 */
export function createSweepReference(
  sweep: Float64Array,
  sampleRate: number,
  fromHz: number,
  toHz: number,
): SweepReference {
  const size = computeNextPowerOfTwo(sweep.length);
  const half = size / 2;
  const [padded, spectrum] = wholeRoom(size);
  padded.set(sweep);
  padded.fill(0, sweep.length);
  createFftPlan(size).forwardReal(padded, spectrum);
  const power = new Float64Array(half + 1);
  let strongest = 0;
  for (let k = 0; k <= half; k++) {
    power[k] = spectrum[2 * k] ** 2 + spectrum[2 * k + 1] ** 2;
    if (power[k] > strongest) strongest = power[k];
  }
  const least = regularisation * strongest;
  const shaping = createHighPassShape({ fromHz });
  const topHz = Math.min(toHz, sampleRate / 2);
  const inverse = new Float64Array(2 * (half + 1));
  for (let k = 0; k <= half; k++) {
    const hz = (k * sampleRate) / size;
    const shape = shaping(hz);
    const scale = upperTaper(hz, topHz) / (power[k] + least);
    const re = spectrum[2 * k];
    const im = spectrum[2 * k + 1];
    inverse[2 * k] = (shape.re * re + shape.im * im) * scale;
    inverse[2 * k + 1] = (shape.im * re - shape.re * im) * scale;
  }
  return { size, sampleRate, power, fromHz, toHz, inverse };
}

/**
 * Divides a recording's spectrum by the reference's.
 *
 * @param reference the sweep sent
 * @param recording the answer, no longer than the reference's size, starting at the same instant
 * @param offset taken off every sample of the recording
 * @returns the response; its samples last until the next call
 * @example
 * const sweep = synthesise(buildSignalTable("quick", "base"), 48000);
 * const reference = createSweepReference(sweep, 48000, 20, 20000);
 * const half = sweep.map((x) => x / 2);
 * const gated = gateResponse(deconvolve(reference, half, 0), 0.005, 0.3);
 * const { re, im } = computeSpectrum(gated, 1000);
 * amplitudeToDb(Math.hypot(re, im)).toFixed(1); // "-6.0"
 */
export function deconvolve(
  reference: SweepReference,
  recording: Float64Array,
  offset: number,
): ImpulseResponse {
  const { size, sampleRate, inverse } = reference;
  const [samples, spectrum] = wholeRoom(size);
  const plan = createFftPlan(size);
  const length = Math.min(size, recording.length);
  for (let n = 0; n < length; n++) samples[n] = recording[n] - offset;
  samples.fill(0, length);
  plan.forwardReal(samples, spectrum);
  for (let k = 0; k <= size; k += 2) {
    const re = spectrum[k];
    const im = spectrum[k + 1];
    spectrum[k] = re * inverse[k] - im * inverse[k + 1];
    spectrum[k + 1] = re * inverse[k + 1] + im * inverse[k];
  }
  plan.inverseReal(spectrum, samples);
  return { samples, sampleRate };
}

/**
 * Fourth-order Butterworth high-pass an octave above the sweep's beginning.
 *
 * @example
 * const shape = createHighPassShape({ fromHz: 10 });
 * const { re, im } = shape(18);
 * amplitudeToDb(Math.hypot(re, im)).toFixed(2); // "-3.01"
 */
export function createHighPassShape(reference: {
  readonly fromHz: number;
}): (hz: number) => Complex {
  const corner = 1.8 * reference.fromHz;
  return (hz) => {
    if (hz === 0) return { re: 0, im: 0 };
    // H(s) = s⁴ / ((s² + 0.7654·s + 1)(s² + 1.8478·s + 1)), s = jf/fc
    const x = hz / corner;
    const r = 1 - x * x;
    const a = { re: r, im: 2 * Math.sin(Math.PI / 8) * x };
    const b = { re: r, im: 2 * Math.cos(Math.PI / 8) * x };
    const dr = a.re * b.re - a.im * b.im;
    const di = a.re * b.im + a.im * b.re;
    const scale = x ** 4 / (dr * dr + di * di);
    return { re: dr * scale, im: -di * scale };
  };
}

function upperTaper(hz: number, topHz: number): number {
  const from = upperEdge * topHz;
  if (hz <= from) return 1;
  if (hz >= topHz) return 0;
  return 0.5 + 0.5 * Math.cos((Math.PI * (hz - from)) / (topHz - from));
}

/** Spectrum of a stretch of an impulse response, faded at both ends. */
export interface GatedSpectrum {
  /** Interleaved, bins 0 … size/2. */
  readonly spectrum: Float64Array;
  readonly size: number;
  readonly stepHz: number;
  /** Σ w² of the gate, samples: the length over which noise is admitted. */
  readonly noiseSamples: number;
  readonly gate: Gate;
}

/** A gate with raised-cosine flanks about its centre, seconds. */
export interface Gate {
  /** From the beginning of the gate to its centre, including the flank of `fadeInS`. */
  readonly beforeS: number;
  readonly fadeInS: number;
  /** From its centre to its end, including the flank of `fadeOutS`. */
  readonly afterS: number;
  readonly fadeOutS: number;
}

/**
 * Cuts out the stretch around time zero with raised-cosine flanks. The
 * pre-ringing of the band's upper edge is included whole.
 *
 * @param response impulse response, circular
 * @param beforeS seconds before time zero, the first half of them flank
 * @param afterS seconds after it, the last third flank
 * @example
 * const sweep = synthesise(buildSignalTable("quick", "base"), 48000);
 * const response = deconvolve(createSweepReference(sweep, 48000, 20, 20000), sweep, 0);
 * const { re, im } = computeSpectrum(gateResponse(response, 0.005, 0.3), 1000);
 * Math.hypot(re, im).toFixed(2); // "1.00"
 */
export function gateResponse(
  response: ImpulseResponse,
  beforeS: number,
  afterS: number,
): GatedSpectrum {
  const [fadeInS, fadeOutS] = [beforeS / 2, afterS / 3];
  return gateResponseAt(response, 0, { beforeS, fadeInS, afterS, fadeOutS });
}

/**
 * Cuts out the stretch around any time. The time is rounded to a sample, which turns the phase and
 * leaves the magnitude as it is.
 *
 * @param response impulse response, circular
 * @param centreS time that becomes time zero of the spectrum; negative times lie at the end
 * @param outer the gate
 * @param inner when given, what lies inside this narrower gate is left out: only what the wider
 *   gate lets in besides is seen
 * @param room gives the array for the spectrum, which lasts as long as that does
 * @example
 * const sweep = synthesise(buildSignalTable("quick", "base"), 48000);
 * const response = deconvolve(createSweepReference(sweep, 48000, 20, 20000), sweep, 0);
 * const gate = { beforeS: 0.005, fadeInS: 0.002, afterS: 0.3, fadeOutS: 0.1 };
 * const { re, im } = computeSpectrum(gateResponseAt(response, 0, gate), 1000);
 * Math.hypot(re, im).toFixed(2); // "1.00"
 */
export function gateResponseAt(
  response: ImpulseResponse,
  centreS: number,
  outer: Gate,
  inner?: Gate,
  room: (length: number) => Float64Array = borrowBuffer,
): GatedSpectrum {
  const { samples, sampleRate } = response;
  const centre = Math.round(centreS * sampleRate);
  const before = Math.round(outer.beforeS * sampleRate);
  const after = Math.round(outer.afterS * sampleRate);
  const size = computeNextPowerOfTwo(2 * (before + after));
  const weights = gateWeights(outer, before, sampleRate, weightsRoom(before + after));
  if (inner) {
    const narrow = gateWeights(inner, before, sampleRate, narrowRoom(before + after));
    for (let n = 0; n < weights.length; n++) weights[n] -= narrow[n];
  }
  const cut = cutRoom(size);
  cut.fill(0, after, size - before);
  const noiseSamples =
    weighted(samples, centre - before, weights.subarray(0, before), cut, size - before) +
    weighted(samples, centre, weights.subarray(before), cut, 0);
  const spectrum = room(size + 2);
  createFftPlan(size).forwardReal(cut, spectrum);
  return { spectrum, size, stepHz: sampleRate / size, noiseSamples, gate: outer };
}

/**
 * Writes weighted samples, wrapping round, from an index on.
 *
 * @returns the sum of the squared weights
 */
function weighted(
  samples: Float64Array,
  from: number,
  weights: Float64Array,
  out: Float64Array,
  at: number,
): number {
  const size = samples.length;
  const first = from < 0 ? from + size : from;
  // As many as there are before it wraps round.
  const straight = Math.min(weights.length, size - first);
  let squares = 0;
  for (let n = 0; n < straight; n++) {
    squares += weights[n] * weights[n];
    out[at + n] = weights[n] * samples[first + n];
  }
  for (let n = straight; n < weights.length; n++) {
    squares += weights[n] * weights[n];
    out[at + n] = weights[n] * samples[first + n - size];
  }
  return squares;
}

/**
 * How much of a steady line a gate lets in at a distance from it: |W(f)|², seconds squared, the
 * squared transform of a window whose flanks are raised cosines (from the transform of its
 * derivative). Beyond the main lobe the mean over a lobe is given.
 *
 * @example
 * const gate = { beforeS: 0.1, fadeInS: 0.02, afterS: 0.1, fadeOutS: 0.02 };
 * Math.sqrt(computeGatePower(gate, 0)); // 0.18
 */
export function computeGatePower(gate: Gate, offsetHz: number): number {
  const { beforeS, fadeInS, afterS, fadeOutS } = gate;
  const apartS = beforeS - fadeInS / 2 + afterS - fadeOutS / 2;
  const hz = Math.abs(offsetHz);
  const omega = 2 * Math.PI * hz;
  if (omega * apartS < 1e-3) return apartS * apartS;
  const rising = flank(hz * fadeInS);
  const falling = flank(hz * fadeOutS);
  const beat = hz * apartS < 1 ? 2 * rising * falling * Math.cos(omega * apartS) : 0;
  return (rising * rising + falling * falling - beat) / (omega * omega);
}

/** Transform of a raised-cosine flank's slope, as a share, for its length in cycles. */
function flank(cycles: number): number {
  const x = 2 * cycles;
  return Math.abs(x - 1) < 1e-6 ? Math.PI / 4 : Math.cos((Math.PI * x) / 2) / (1 - x * x);
}

let whole: readonly [Float64Array, Float64Array] | undefined;

/** Buffers for a whole sweep and its spectrum, of the last size asked for. */
function wholeRoom(size: number): readonly [Float64Array, Float64Array] {
  if (whole?.[0].length !== size) whole = [new Float64Array(size), new Float64Array(size + 2)];
  return whole;
}

const cutRoom = createOwnBuffer();
const weightsRoom = createOwnBuffer();
const narrowRoom = createOwnBuffer();

/**
 * Writes the weights of a gate, starting `before` samples before its centre.
 *
 * @param weights as many as there are samples
 * @returns the same
 */
function gateWeights(
  { beforeS, fadeInS, afterS, fadeOutS }: Gate,
  before: number,
  sampleRate: number,
  weights: Float64Array,
): Float64Array {
  weights.fill(0);
  const first = Math.max(0, Math.floor(before - beforeS * sampleRate) + 1);
  const end = Math.min(weights.length, Math.ceil(before + afterS * sampleRate));
  weights.fill(1, first, end);
  fade(weights, first, 1, before / sampleRate - beforeS, fadeInS, sampleRate);
  fade(weights, end - 1, -1, -before / sampleRate - afterS, fadeOutS, sampleRate);
  return weights;
}

/**
 * Applies a raised-cosine flank to weights, from one end inwards.
 *
 * @param edgeS time of the flank's outer end, counted inwards from the first weight's time zero
 */
function fade(
  weights: Float64Array,
  from: number,
  step: 1 | -1,
  edgeS: number,
  flankS: number,
  sampleRate: number,
): void {
  const turn = Math.PI / (flankS * sampleRate);
  const start = ((step * from) / sampleRate - edgeS) / flankS;
  const turnCos = Math.cos(turn);
  const turnSin = Math.sin(turn);
  let c = Math.cos(Math.PI * start);
  let s = Math.sin(Math.PI * start);
  for (let n = from, x = start; x < 1 && n >= 0 && n < weights.length; n += step) {
    weights[n] *= 0.5 - 0.5 * c;
    x += turn / Math.PI;
    const turned = c * turnCos - s * turnSin;
    s = c * turnSin + s * turnCos;
    c = turned;
  }
}

/** Bins on either side used for a value between two bins. */
const lagrangeReach = 4;
/** Π (j − i) over the other bins, for each of the eight. */
const lagrangeSpans = Array.from({ length: 2 * lagrangeReach }, (_, j) => {
  let product = 1;
  for (let i = 0; i < 2 * lagrangeReach; i++) if (i !== j) product *= j - i;
  return product;
});

/**
 * Value of a gated spectrum between its bins: magnitude and phase by eight-point Lagrange
 * interpolation of the complex values. A response that rings on for a quarter of the gate turns by
 * half a radian from bin to bin, which these points follow to 1 part in 10⁶.
 * @example
 * const sweep = synthesise(buildSignalTable("quick", "base"), 48000);
 * const response = deconvolve(createSweepReference(sweep, 48000, 20, 20000), sweep, 0);
 * const { re, im } = computeSpectrum(gateResponse(response, 0.005, 0.3), 1000);
 * Math.hypot(re, im).toFixed(2); // "1.00"
 */
export function computeSpectrum(gated: GatedSpectrum, hz: number): Complex {
  const { spectrum, stepHz, size } = gated;
  const place = hz / stepHz;
  const most = size / 2 - 2 * lagrangeReach;
  const first = Math.max(0, Math.min(most, Math.floor(place) - lagrangeReach + 1));
  const x = place - first;
  const nearest = Math.round(x);
  if (Math.abs(x - nearest) < 1e-9) {
    return { re: spectrum[2 * (first + nearest)], im: spectrum[2 * (first + nearest) + 1] };
  }
  let whole = 1;
  for (let i = 0; i < 2 * lagrangeReach; i++) whole *= x - i;
  let re = 0;
  let im = 0;
  for (let j = 0; j < 2 * lagrangeReach; j++) {
    const weight = whole / ((x - j) * lagrangeSpans[j]);
    re += weight * spectrum[2 * (first + j)];
    im += weight * spectrum[2 * (first + j) + 1];
  }
  return { re, im };
}
