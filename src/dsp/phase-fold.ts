import { createOwnBuffer } from "./buffer-pool.js";
import { createFftPlan } from "./fft.js";

/** A periodic series: Re Σ (re[k] + i·im[k])·e^(2πikφ) at a phase of φ cycles; index 0 is its mean. */
export interface PeriodicSeries {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/** Position of a periodic series in samples. */
export interface SeriesClock {
  /** Cycles of the first order per sample. */
  readonly cyclesPerSample: number;
  /** Index of the sample at which the phase is 0, fractional. */
  readonly middle: number;
}

/** Sums at the multiples of a frequency. */
export interface PhaseFold {
  /** Σ x·e^(−2πikφ). */
  readonly sum: PeriodicSeries;
  /** Σ m·x·e^(−2πikφ), m counting samples from the middle. */
  readonly moment: PeriodicSeries;
}

const sumRoom = createOwnBuffer();
const momentRoom = createOwnBuffer();
const spectrumRoom = createOwnBuffer();
const periodRoom = createOwnBuffer();

/**
 * Sums samples by their phase, and finds from one period what lies at each multiple of a frequency: as
 * many sums of samples times e^(−2πikφ), for one pass over the samples.
 *
 * Each sample is shared between the two nearest points of the period, which is made up for; what is
 * left of it is (k/points)² of what lies at points − k.
 *
 * @param samples all of them are taken
 * @param clock where the multiples lie
 * @param orders the highest multiple; below half of `points`
 * @param points of a period, a power of two
 * @example
 * const x = Float64Array.from({ length: 1000 }, (_, n) => 3 * Math.cos(2 * Math.PI * 0.01 * n));
 * const { sum } = foldPhases(x, { cyclesPerSample: 0.01, middle: 0 }, 4, 256);
 * sum.re[1].toFixed(0); // "1500"
 */
export function foldPhases(
  samples: Float64Array,
  { cyclesPerSample, middle }: SeriesClock,
  orders: number,
  points: number,
): PhaseFold {
  const sums = sumRoom(points + 1).fill(0);
  const moments = momentRoom(points + 1).fill(0);
  const step = cyclesPerSample * points;
  let at = phaseAt(-middle * cyclesPerSample) * points;
  for (let n = 0, m = -middle; n < samples.length; n++, m++) {
    const i = Math.floor(at);
    const late = (at - i) * samples[n];
    const early = samples[n] - late;
    sums[i] += early;
    sums[i + 1] += late;
    moments[i] += m * early;
    moments[i + 1] += m * late;
    at += step;
    if (at >= points) at -= points;
  }
  return { sum: ordersOf(sums, orders, points), moment: ordersOf(moments, orders, points) };
}

function ordersOf(period: Float64Array, orders: number, points: number): PeriodicSeries {
  period[0] += period[points];
  const spectrum = spectrumRoom(2 * points);
  createFftPlan(points).forwardReal(period.subarray(0, points), spectrum);
  const re = new Float64Array(orders + 1);
  const im = new Float64Array(orders + 1);
  for (let k = 0; k <= orders; k++) {
    const scale = 1 / computeShare(k / points);
    re[k] = scale * spectrum[2 * k];
    im[k] = scale * spectrum[2 * k + 1];
  }
  return { re, im };
}

/**
 * Removes a periodic series from samples. It is tabulated over one period and interpolated linearly; the
 * loss of each order by that is compensated beforehand, and (k/points)² of an order remains.
 *
 * @param samples changed in place
 * @param points of the table, a power of two
 * @example
 * const x = Float64Array.from({ length: 1000 }, (_, n) => 3 * Math.cos(2 * Math.PI * 0.01 * n));
 * const series = { re: Float64Array.of(0, 3), im: Float64Array.of(0, 0) };
 * subtractSeries(x, series, { cyclesPerSample: 0.01, middle: 0 }, 256);
 * x.every((rest) => Math.abs(rest) < 0.001); // true
 */
export function subtractSeries(
  samples: Float64Array,
  { re, im }: PeriodicSeries,
  { cyclesPerSample, middle }: SeriesClock,
  points: number,
): void {
  const spectrum = spectrumRoom(2 * points).fill(0);
  spectrum[0] = points * re[0];
  for (let k = 1; k < re.length; k++) {
    const scale = points / 2 / computeShare(k / points);
    spectrum[2 * k] = scale * re[k];
    spectrum[2 * k + 1] = scale * im[k];
  }
  const period = periodRoom(points + 1);
  createFftPlan(points).inverseReal(spectrum, period.subarray(0, points));
  period[points] = period[0];
  const step = cyclesPerSample * points;
  let at = phaseAt(-middle * cyclesPerSample) * points;
  for (let n = 0; n < samples.length; n++) {
    const i = Math.floor(at);
    samples[n] -= period[i] + (at - i) * (period[i + 1] - period[i]);
    at += step;
    if (at >= points) at -= points;
  }
}

const phaseAt = (cycles: number) => cycles - Math.floor(cycles);

/** What sharing between two points leaves of an order: sinc² of its share of the sample rate. */
function computeShare(share: number): number {
  const x = Math.PI * share;
  return x < 1e-6 ? 1 : (Math.sin(x) / x) ** 2;
}
