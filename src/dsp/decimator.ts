import { computeKaiserBeta, kaiser } from "./windows.js";

/** A streaming low-pass that keeps every `factor`-th sample. */
export interface Decimator {
  readonly factor: number;
  /** Output sample k is centred on input sample k·factor + delay (input samples). */
  readonly delay: number;
  /**
   * Takes the next input samples and writes the outputs that are ready.
   *
   * @param input any number of samples
   * @param count how many of them to take
   * @param out room for ceil(count/factor) + 1 samples
   * @returns how many were written
   */
  push(input: Float64Array, count: number, out: Float64Array): number;
  /** Resets the filter: the next samples begin from rest. */
  clear(): void;
}

/**
 * A linear-phase FIR decimator (Kaiser design). An even factor above 2 is split off in stages of 2
 * with half-band filters, in which every other tap is zero and left out (R. E. Crochiere, L. R. Rabiner,
 * "Multirate Digital Signal Processing", ch. 5).
 *
 * @param factor input samples per output sample; 1 passes the samples on unchanged
 * @param passHz upper edge of what must be kept, at input rate `rateHz`
 * @param rateHz input samples per second
 * @param attenuationDb how far what would fold onto the pass band is held down
 * @throws RangeError when the pass band does not fit the output rate
 * @example
 * const out = new Float64Array(1201);
 * createDecimator(4, 5000, 48000).push(new Float64Array(4800).fill(1), 4800, out) > 1000; // true
 * out[600].toFixed(3); // "1.000"
 */
export function createDecimator(
  factor: number,
  passHz: number,
  rateHz: number,
  attenuationDb = 60,
): Decimator {
  if (factor === 1) {
    return {
      factor,
      delay: 0,
      push(input, count, out) {
        out.set(input.subarray(0, count));
        return count;
      },
      clear: () => undefined,
    };
  }
  if (factor > 2 && factor % 2 === 0) {
    const first = createDecimator(2, passHz, rateHz, attenuationDb);
    return inTurn(first, createDecimator(factor / 2, passHz, rateHz / 2, attenuationDb));
  }
  const outRate = rateHz / factor;
  // Only what aliases into the pass band must be removed, so the transition may span Nyquist.
  const stopHz = outRate - passHz;
  if (stopHz <= passHz) throw new RangeError(`${passHz} Hz does not fit ${outRate} Hz`);
  const transition = (2 * Math.PI * (stopHz - passHz)) / rateHz;
  const half = Math.ceil((attenuationDb - 8) / (2.285 * transition) / 2);
  const taps = lowPass(2 * half + 1, (passHz + stopHz) / 2 / rateHz, attenuationDb);
  const length = taps.length;

  let history = new Float64Array(length + 8192);
  let held = length - 1; // leading zeros: the filter starts from rest
  let next = 0; // index in `history` of the first tap of the next output
  // Of a half-band filter all taps but the middle one are zero at even distances from it.
  const isHalfBand =
    factor === 2 &&
    taps.every((tap, k) => k === half || (half - k) % 2 !== 0 || Math.abs(tap) < 1e-12);
  const filterInto = isHalfBand ? halfBandFilter(taps) : symmetricFilter(taps, factor);

  return {
    factor,
    delay: -half,
    push(input, count, out) {
      if (held + count > history.length) {
        const larger = new Float64Array(held + count + 8192);
        larger.set(history.subarray(0, held));
        history = larger;
      }
      history.set(input.subarray(0, count), held);
      held += count;
      const written = filterInto(history, held, next, out);
      next += written * factor;
      const spent = Math.min(next, held);
      history.copyWithin(0, spent, held);
      held -= spent;
      next -= spent;
      return written;
    },
    clear() {
      held = length - 1;
      next = 0;
      history.fill(0, 0, held);
    },
  };
}

/** Filters from a start on and writes as many outputs as the samples allow. */
type BlockFilter = (data: Float64Array, end: number, start: number, out: Float64Array) => number;

/** The taps are symmetric: opposite samples share a multiplication. */
function symmetricFilter(taps: Float64Array, factor: number): BlockFilter {
  const length = taps.length;
  const half = (length - 1) / 2;
  return (data, end, start, out) => {
    let written = 0;
    for (let at = start; at + length <= end; at += factor) {
      let sum = taps[half] * data[at + half];
      for (let k = 0, l = length - 1; k < half; k++, l--) {
        sum += taps[k] * (data[at + k] + data[at + l]);
      }
      out[written++] = sum;
    }
    return written;
  };
}

/** Four outputs at once, which share most of their input samples. */
function halfBandFilter(taps: Float64Array): BlockFilter {
  const half = (taps.length - 1) / 2;
  const middle = taps[half];
  const first = (half + 1) % 2;
  const span = taps.length - 2 * first;
  const used = taps.filter((_, k) => k < half && (half - k) % 2 !== 0);
  const centre = half - first;
  return (data, end, start, out) => {
    let written = 0;
    let at = start + first;
    for (; at + span + 6 <= end - first; at += 8) {
      let sum0 = middle * data[at + centre];
      let sum1 = middle * data[at + centre + 2];
      let sum2 = middle * data[at + centre + 4];
      let sum3 = middle * data[at + centre + 6];
      // Samples before and after the middle tap of each output; each tap moves on by one.
      let a = at + 6;
      let b = at + span - 1;
      let before0 = data[at];
      let before1 = data[at + 2];
      let before2 = data[at + 4];
      let behind1 = data[b + 2];
      let behind2 = data[b + 4];
      let behind3 = data[b + 6];
      for (let j = 0; j < used.length; j++) {
        const tap = used[j];
        const before3 = data[a];
        const behind0 = data[b];
        sum0 += tap * (before0 + behind0);
        sum1 += tap * (before1 + behind1);
        sum2 += tap * (before2 + behind2);
        sum3 += tap * (before3 + behind3);
        before0 = before1;
        before1 = before2;
        before2 = before3;
        behind3 = behind2;
        behind2 = behind1;
        behind1 = behind0;
        a += 2;
        b -= 2;
      }
      out[written] = sum0;
      out[written + 1] = sum1;
      out[written + 2] = sum2;
      out[written + 3] = sum3;
      written += 4;
    }
    for (; at + span <= end - first; at += 2) {
      let sum = middle * data[at + centre];
      for (let j = 0, a = at, b = at + span - 1; j < used.length; j++, a += 2, b -= 2) {
        sum += used[j] * (data[a] + data[b]);
      }
      out[written++] = sum;
    }
    return written;
  };
}

/** One decimator after another. */
function inTurn(first: Decimator, second: Decimator): Decimator {
  let between = new Float64Array(0);
  return {
    factor: first.factor * second.factor,
    delay: first.delay + first.factor * second.delay,
    push(input, count, out) {
      const room = Math.ceil(count / first.factor) + 1;
      if (between.length < room) between = new Float64Array(room);
      return second.push(between, first.push(input, count, between), out);
    },
    clear() {
      first.clear();
      second.clear();
    },
  };
}

/** Windowed-sinc low-pass of unit gain at 0 Hz; `corner` in cycles per sample. */
function lowPass(length: number, corner: number, attenuationDb: number): Float64Array {
  const window = kaiser(length, computeKaiserBeta(attenuationDb));
  const middle = (length - 1) / 2;
  const taps = new Float64Array(length);
  let sum = 0;
  for (let n = 0; n < length; n++) {
    const t = n - middle;
    const sinc = t === 0 ? 2 * corner : Math.sin(2 * Math.PI * corner * t) / (Math.PI * t);
    taps[n] = sinc * window[n];
    sum += taps[n];
  }
  for (let n = 0; n < length; n++) taps[n] /= sum;
  return taps;
}
