/**
 * Time constants of the two stages, seconds. They were fitted so that bursts through the
 * weighting network read the middle of the limits of Recommendation ITU-R BS.468-4, Tables 2 and
 * 3, which say what a meter shall read and not how it is built: every reading lies within a fifth
 * of its tolerance.
 */
const firstChargeS = 1.44e-3;
const firstDischargeS = 0.29;
const secondChargeS = 0.237;
const secondDischargeS = 0.346;

/** The reading with these constants, before scaling, of a steady 1 kHz sine of amplitude 1. */
const steadySine = 0.56989;

/** A quasi-peak meter that keeps its state from call to call. */
export interface QuasiPeakMeter {
  /**
   * Reads a stretch of the weighted signal; samples beside it are used to find the peaks in it.
   *
   * @param samples the signal
   * @param from first sample
   * @param to one past the last
   * @returns reading over the stretch: its mean and its highest value; 0 for no samples
   */
  read(samples: Float64Array, from: number, to: number): QuasiPeak;
  /** Sets both stages to their lowest values in the last stretch. */
  fallBack(): void;
}

export interface QuasiPeak {
  readonly mean: number;
  readonly highest: number;
}

/**
 * The quasi-peak detector of Recommendation ITU-R BS.468-4: a rectifier and two cascaded stages
 * that charge fast and discharge slowly. A steady 1 kHz sine reads its r.m.s. value. Between samples the
 * signal is interpolated to four times the rate, so that a whistle locked to the clock reads the same
 * as one beside it.
 *
 * @example
 * const sine = Float64Array.from({ length: 96_000 }, (_, n) => Math.sin((2 * Math.PI * n) / 96));
 * const meter = createQuasiPeakMeter(96_000);
 * meter.read(sine, 0, sine.length); // lets it settle
 * const { mean } = meter.read(sine, 0, sine.length);
 * amplitudeToDb(mean).toFixed(1); // "-3.0"
 *
 * @param rateHz samples per second; 80 kHz or more
 */
export function createQuasiPeakMeter(rateHz: number): QuasiPeakMeter {
  const fineHz = finer * rateHz;
  const stages: Stages = {
    charge1: 1 - Math.exp(-1 / (firstChargeS * fineHz)),
    keep1: Math.exp(-1 / (firstDischargeS * fineHz)),
    charge2: 1 - Math.exp(-1 / (secondChargeS * fineHz)),
    keep2: Math.exp(-1 / (secondDischargeS * fineHz)),
    keep1All: Math.exp(-finer / (firstDischargeS * fineHz)),
    charge2All: 1 - Math.exp(-finer / (secondChargeS * fineHz)),
    keep2All: Math.exp(-finer / (secondDischargeS * fineHz)),
  };
  const scale = Math.SQRT1_2 / steadySine;
  const state: State = { first: 0, second: 0, highest: 0, lowest: 0, lowestFirst: 0, sum: 0 };
  return {
    read(samples, from, to) {
      state.highest = 0;
      state.lowest = state.second;
      state.lowestFirst = state.first;
      state.sum = 0;
      for (let at = from; at < to; at += piece) {
        run(stages, state, samples, at, Math.min(to, at + piece));
      }
      const mean = to > from ? state.sum / (to - from) : 0;
      return { mean: scale * mean, highest: scale * state.highest };
    },
    fallBack() {
      state.first = state.lowestFirst;
      state.second = state.lowest;
    },
  };
}

/**
 * Between samples that lie below this part of the first stage nothing reaches it: what the weighting
 * lets through rises between two samples by a third at most.
 */
const reachesNothing = 0.7;
/** Times by which the signal is interpolated. */
const finer = 4;

/** Charge and decay of each stage per instant, as shares. */
interface Stages {
  readonly charge1: number;
  readonly keep1: number;
  readonly charge2: number;
  readonly keep2: number;
  /** The same for all instants of a sample together. */
  readonly keep1All: number;
  readonly charge2All: number;
  readonly keep2All: number;
}

interface State {
  first: number;
  second: number;
  highest: number;
  lowest: number;
  lowestFirst: number;
  sum: number;
}

/**
 * Long stretches go in pieces, so short that a whole one is over before the loop is compiled: what was
 * compiled within a loop knows nothing of the way out of it, and is thrown away there every time.
 */
const piece = 64;

/** Samples needed on either side of a piece for interpolation. */
const beside = 4;
/** A piece with its neighbours, so that the loop need not check where the samples end. */
const room = new Float64Array(piece + 2 * beside);

function lay(samples: Float64Array, from: number, to: number): void {
  for (let k = 0, n = from - beside; n < to + beside; k++, n++) {
    room[k] = n >= 0 && n < samples.length ? samples[n] : 0;
  }
}

function run(
  { charge1, keep1, charge2, keep2, keep1All, charge2All, keep2All }: Stages,
  state: State,
  samples: Float64Array,
  from: number,
  to: number,
): void {
  lay(samples, from, to);
  let { first, second, highest, lowest, lowestFirst, sum } = state;
  let before = middleAfter(beside - 1);
  let middle = middleAfter(beside);
  let areKnown = true;
  const end = beside + to - from;
  for (let i = beside; i < end; i++) {
    const here = room[i];
    const next = room[i + 1];
    const below = reachesNothing * first;
    if (Math.abs(here) < below && Math.abs(next) < below) {
      first *= keep1All;
      second *= keep2All;
      if (first > second) second += charge2All * (first - second);
      areKnown = false;
    } else {
      if (!areKnown) {
        before = middleAfter(i - 1);
        middle = middleAfter(i);
        areKnown = true;
      }
      const after = middleAfter(i + 1);
      // Four instants, written out: a loop over them would make objects of the numbers.
      // Cubic through four points that lie half a sample apart (Lagrange).
      const early = nearWeight * (here + middle) - farWeight * (before + next);
      const late = nearWeight * (middle + next) - farWeight * (here + after);
      let size = Math.abs(here);
      first *= keep1;
      if (size > first) first += charge1 * (size - first);
      second *= keep2;
      if (first > second) second += charge2 * (first - second);
      size = Math.abs(early);
      first *= keep1;
      if (size > first) first += charge1 * (size - first);
      second *= keep2;
      if (first > second) second += charge2 * (first - second);
      size = Math.abs(middle);
      first *= keep1;
      if (size > first) first += charge1 * (size - first);
      second *= keep2;
      if (first > second) second += charge2 * (first - second);
      size = Math.abs(late);
      first *= keep1;
      if (size > first) first += charge1 * (size - first);
      second *= keep2;
      if (first > second) second += charge2 * (first - second);
      before = middle;
      middle = after;
    }
    if (second > highest) highest = second;
    if (second < lowest) lowest = second;
    if (first < lowestFirst) lowestFirst = first;
    sum += second;
  }
  state.first = first;
  state.second = second;
  state.highest = highest;
  state.lowest = lowest;
  state.lowestFirst = lowestFirst;
  state.sum = sum;
}

const nearWeight = 9 / 16;
const farWeight = 1 / 16;

/**
 * Weights of the six samples around a point halfway between two, outwards: up to 17 kHz at 88.2 kHz and
 * above their sum is right within 0.005 dB, the least that six can do (minimax, by linear programming).
 */
const nearHalfway = 0.5964068;
const fartherFromHalfway = -0.1148372;
const farthestFromHalfway = 0.0187216;

/** The signal halfway between a sample of the buffer and the next. */
function middleAfter(i: number): number {
  return (
    nearHalfway * (room[i] + room[i + 1]) +
    fartherFromHalfway * (room[i - 1] + room[i + 2]) +
    farthestFromHalfway * (room[i - 2] + room[i + 3])
  );
}
