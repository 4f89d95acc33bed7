import { computeNextPowerOfTwo, createFftPlan } from "./fft.js";

/** A streaming correlation of a real signal with a template, with the signal's local energy. */
export interface MatchedFilter {
  /** Takes the next samples; results are passed to the callback whenever a block is full. */
  push(samples: Float64Array, count: number): void;
  /**
   * Ends the stream: the rest is correlated as if silence followed. The next stream starts afresh.
   */
  flush(): void;
}

/**
 * Called with consecutive results.
 *
 * @param first index of the first result: the template laid at input sample `first`
 * @param correlation c(t) = Σ h(n)·x(t+n)
 * @param energy E(t) = Σ x²(t+n) over the template's length
 * @param count how many of either are valid
 */
export type MatchedFilterSink = (
  first: number,
  correlation: Float64Array,
  energy: Float64Array,
  count: number,
) => void;

/**
 * Overlap-save correlation; two consecutive blocks share one complex transform, one as its real
 * and one as its imaginary part, since the template is real.
 *
 * Source: A. V. Oppenheim, R. W. Schafer, "Discrete-Time Signal Processing", block convolution.
 *
 * @param template what to look for; kept by reference only while this function runs
 * @param leastEnergy blocks in which E(t) stays below it are skipped, without results
 * @param sink receives the results; its arrays are reused
 * @example
 * const places = [];
 * const template = Float64Array.of(1, -1, 1, 1);
 * const filter = createMatchedFilter(template, 0, (first, correlation, _, count) => {
 *   for (let n = 0; n < count; n++) if (correlation[n] > 3.9) places.push(first + n);
 * });
 * const input = new Float64Array(200);
 * input.set(template, 70);
 * filter.push(input, input.length);
 * filter.flush();
 * places; // [70]
 */
export function createMatchedFilter(
  template: Float64Array,
  leastEnergy: number,
  sink: MatchedFilterSink,
): MatchedFilter {
  const length = template.length;
  const plan = createFftPlan(computeNextPowerOfTwo(8 * length));
  const size = plan.size;
  const hop = size - length + 1;
  const need = 2 * hop + length - 1;

  const { packed, spectrum, correlation, energy } = roomFor(size);
  packed.fill(0);
  for (let n = 0; n < length; n++) packed[2 * n] = template[n] / size;
  const templateSpectrum = new Float64Array(2 * size);
  plan.forward(packed, templateSpectrum);

  const buffer = new Float64Array(need);
  let held = 0;
  let first = 0;

  /** Fills in the energies; @returns the largest. */
  function energies(count: number): number {
    let sum = 0;
    let most = 0;
    for (let n = 0; n < length; n++) sum += buffer[n] * buffer[n];
    for (let t = 0; t < count; t++) {
      const here = Math.max(sum, 0);
      energy[t] = here;
      if (here > most) most = here;
      const gone = buffer[t];
      const come = t + length < need ? buffer[t + length] : 0;
      sum += come * come - gone * gone;
    }
    return most;
  }

  function run(count: number) {
    if (energies(count) < leastEnergy) return;
    // The second block ends with the buffer: need − hop = size.
    for (let n = 0; n < size; n++) {
      packed[2 * n] = buffer[n];
      packed[2 * n + 1] = buffer[hop + n];
    }
    plan.forward(packed, spectrum);
    for (let k = 0; k < 2 * size; k += 2) {
      // Times the conjugate of the template's spectrum: correlation, not convolution. The conjugate
      // of that goes forward once more, which is the way back.
      const re = spectrum[k];
      const im = spectrum[k + 1];
      const tr = templateSpectrum[k];
      const ti = templateSpectrum[k + 1];
      packed[k] = re * tr + im * ti;
      packed[k + 1] = re * ti - im * tr;
    }
    plan.forward(packed, spectrum);
    for (let t = 0; t < hop; t++) {
      correlation[t] = spectrum[2 * t];
      correlation[hop + t] = -spectrum[2 * t + 1];
    }
    sink(first, correlation, energy, count);
  }

  return {
    push(samples, count) {
      let taken = 0;
      while (taken < count) {
        const part = Math.min(count - taken, need - held);
        buffer.set(samples.subarray(taken, taken + part), held);
        held += part;
        taken += part;
        if (held === need) {
          run(2 * hop);
          buffer.copyWithin(0, 2 * hop, need);
          held = length - 1;
          first += 2 * hop;
        }
      }
    },
    flush() {
      if (held > 0) {
        buffer.fill(0, held);
        run(Math.min(held, 2 * hop));
      }
      held = 0;
      first = 0;
    },
  };
}

/** Scratch buffers, one set per size for all filters: none is needed between calls. */
function roomFor(size: number) {
  if (room?.size !== size) {
    const made = () => new Float64Array(2 * size);
    room = { size, packed: made(), spectrum: made(), correlation: made(), energy: made() };
  }
  return room;
}

let room:
  | {
      readonly size: number;
      readonly packed: Float64Array;
      readonly spectrum: Float64Array;
      readonly correlation: Float64Array;
      readonly energy: Float64Array;
    }
  | undefined;
