import type { Complex } from "./deconvolution.js";
import { computeNextPowerOfTwo, createFftPlan } from "./fft.js";

/** A filter given by its frequency response. */
export interface FrequencyFilter {
  /** Output samples for each input sample. */
  readonly factor: number;
  /** Number of input samples at either end of a stretch whose outputs depend on samples beyond it. */
  readonly margin: number;
  /**
   * Filters a stretch, with silence beyond its ends.
   *
   * @param samples any number
   * @param out filled with `factor` times as many samples, without delay; another array when absent
   * @returns the same
   */
  apply(samples: Float64Array, out?: Float64Array): Float64Array;
}

/** How far the impulse response is kept whole, seconds, and where its taper ends. */
const wholeS = 0.0015;
const taperedS = 0.003;

/**
 * A time-domain filter with the magnitude and phase of an analogue one all the way to half the
 * sample rate, which no bilinear transform has: the response is sampled in frequency, brought to
 * time, tapered beyond 1.5 ms and applied by overlap-save. With `factor` 2 the output is
 * interpolated as well, by filters that are half a sample apart.
 *
 * Source: A. V. Oppenheim, R. W. Schafer, "Discrete-Time Signal Processing", 8.7 (overlap-save),
 * 7.5 (frequency sampling and windowing).
 *
 * @param response complex ratio at a frequency in hertz; its impulse response must have died away
 *   within 1.5 ms
 * @param sampleRate samples per second
 * @param factor output samples per input sample
 * @example
 * const half = createFrequencyFilter(() => ({ re: 0.5, im: 0 }), 48000, 1);
 * half.apply(new Float64Array(4800).fill(1))[2400].toFixed(3); // "0.500"
 */
export function createFrequencyFilter(
  response: (hz: number) => Complex,
  sampleRate: number,
  factor: number,
): FrequencyFilter {
  const half = Math.ceil(taperedS * sampleRate);
  const size = computeNextPowerOfTwo(6 * half);
  const phases: Float64Array[] = [];
  for (let p = 0; p < factor; p++) {
    phases.push(phaseSpectrum(response, sampleRate, size, p / factor));
  }
  const plan = createFftPlan(size);
  const hop = size - 2 * half;
  const data = new Float64Array(2 * size);
  const spectrum = new Float64Array(2 * size);
  const product = new Float64Array(2 * size);
  return {
    factor,
    margin: half,
    apply(samples, out = new Float64Array(samples.length * factor)) {
      // Two blocks at once: the filter is real, so real and imaginary parts stay separate.
      for (let at = 0; at < samples.length; at += 2 * hop) {
        load(samples, at - half, data, 0);
        load(samples, at + hop - half, data, 1);
        plan.forward(data, spectrum);
        for (let p = 0; p < factor; p++) {
          multiply(spectrum, phases[p], product);
          plan.inverse(product, data);
          store(data, 0, half, hop, out, at, factor, p);
          store(data, 1, half, hop, out, at + hop, factor, p);
        }
      }
      return out;
    },
  };
}

/** Spectrum of the taps that give the filtered signal `shift` samples later than each sample. */
function phaseSpectrum(
  response: (hz: number) => Complex,
  sampleRate: number,
  size: number,
  shift: number,
): Float64Array {
  const plan = createFftPlan(size);
  const wanted = new Float64Array(2 * size);
  const taps = new Float64Array(2 * size);
  for (let k = 0; k <= size / 2; k++) {
    const { re, im } = response((k * sampleRate) / size);
    const turn = (2 * Math.PI * k * shift) / size;
    const c = Math.cos(turn);
    const s = Math.sin(turn);
    wanted[2 * k] = re * c - im * s;
    wanted[2 * k + 1] = k === size / 2 ? 0 : re * s + im * c;
    if (k > 0 && k < size / 2) {
      wanted[2 * (size - k)] = wanted[2 * k];
      wanted[2 * (size - k) + 1] = -wanted[2 * k + 1];
    }
  }
  plan.inverse(wanted, taps);
  for (let n = 0; n < size; n++) {
    const lag = (n < size / 2 ? n : size - n) / sampleRate;
    taps[2 * n] *= taper(lag);
    taps[2 * n + 1] = 0;
  }
  plan.forward(taps, wanted);
  return wanted;
}

function taper(lagS: number): number {
  if (lagS <= wholeS) return 1;
  if (lagS >= taperedS) return 0;
  return 0.5 + 0.5 * Math.cos((Math.PI * (lagS - wholeS)) / (taperedS - wholeS));
}

/** Copies samples from `from` on into the real (0) or imaginary (1) parts. */
function load(samples: Float64Array, from: number, data: Float64Array, part: 0 | 1): void {
  const size = data.length / 2;
  for (let i = 0; i < size; i++) {
    const n = from + i;
    data[2 * i + part] = n >= 0 && n < samples.length ? samples[n] : 0;
  }
}

function store(
  data: Float64Array,
  part: 0 | 1,
  first: number,
  count: number,
  out: Float64Array,
  at: number,
  factor: number,
  phase: number,
): void {
  const length = Math.min(count, out.length / factor - at);
  for (let i = 0; i < length; i++) {
    out[(at + i) * factor + phase] = data[2 * (first + i) + part];
  }
}

function multiply(a: Float64Array, b: Float64Array, out: Float64Array): void {
  for (let k = 0; k < a.length; k += 2) {
    out[k] = a[k] * b[k] - a[k + 1] * b[k + 1];
    out[k + 1] = a[k] * b[k + 1] + a[k + 1] * b[k];
  }
}
