/**
 * Time constants of the two stages, seconds. They were fitted so that bursts through the
 * weighting network read the middle of the limits of Recommendation ITU-R BS.468-4, Tables 2 and
 * 3, which say what a meter shall read and not how it is built: every reading lies within a fifth
 * of its tolerance.
 */
const firstChargeS = 1.38e-3;
const firstDischargeS = 0.281;
const secondChargeS = 0.244;
const secondDischargeS = 0.31;

/** What these constants read, before scaling, for a steady 1 kHz sine of amplitude 1. */
const steadySine = 0.53748;

/** A quasi-peak meter that keeps its state from call to call. */
export interface QuasiPeakMeter {
  /**
   * Reads a stretch of the weighted signal.
   *
   * @param samples the signal
   * @param from first sample
   * @param to one past the last
   * @returns reading over the stretch: its mean and its highest value; 0 for no samples
   */
  read(samples: Float64Array, from: number, to: number): QuasiPeak;
}

export interface QuasiPeak {
  readonly mean: number;
  readonly highest: number;
}

/**
 * The quasi-peak detector of Recommendation ITU-R BS.468-4: a rectifier and two cascaded stages
 * that charge fast and discharge slowly. A steady 1 kHz sine reads its r.m.s. value.
 *
 * @example
 * const sine = Float64Array.from({ length: 96_000 }, (_, n) => Math.sin((2 * Math.PI * n) / 96));
 * const meter = createQuasiPeakMeter(96_000);
 * meter.read(sine, 0, sine.length); // lets it settle
 * const { mean } = meter.read(sine, 0, sine.length);
 * amplitudeToDb(mean).toFixed(1); // "-3.0"
 *
 * @param rateHz samples per second; 80 kHz or more, so that no peak falls between samples
 */
export function createQuasiPeakMeter(rateHz: number): QuasiPeakMeter {
  const stages: Stages = {
    charge1: 1 - Math.exp(-1 / (firstChargeS * rateHz)),
    keep1: Math.exp(-1 / (firstDischargeS * rateHz)),
    charge2: 1 - Math.exp(-1 / (secondChargeS * rateHz)),
    keep2: Math.exp(-1 / (secondDischargeS * rateHz)),
  };
  const scale = Math.SQRT1_2 / steadySine;
  const state: State = { first: 0, second: 0, highest: 0, sum: 0 };
  return {
    read(samples, from, to) {
      state.highest = 0;
      state.sum = 0;
      for (let at = from; at < to; at += piece) {
        run(stages, state, samples, at, Math.min(to, at + piece));
      }
      const mean = to > from ? state.sum / (to - from) : 0;
      return { mean: scale * mean, highest: scale * state.highest };
    },
  };
}

/** What one sample adds to each stage and what of it stays, as shares. */
interface Stages {
  readonly charge1: number;
  readonly keep1: number;
  readonly charge2: number;
  readonly keep2: number;
}

interface State {
  first: number;
  second: number;
  highest: number;
  sum: number;
}

/** Long stretches go in pieces: a function that is called often is compiled soon and stays so. */
const piece = 4096;

function run(
  { charge1, keep1, charge2, keep2 }: Stages,
  state: State,
  samples: Float64Array,
  from: number,
  to: number,
): void {
  let { first, second, highest, sum } = state;
  for (let i = from; i < to; i++) {
    const size = Math.abs(samples[i]);
    first *= keep1;
    if (size > first) first += charge1 * (size - first);
    second *= keep2;
    if (first > second) second += charge2 * (first - second);
    if (second > highest) highest = second;
    sum += second;
  }
  state.first = first;
  state.second = second;
  state.highest = highest;
  state.sum = sum;
}
