/** A second-order recursive filter, a0 = 1: y = b0·x + b1·x₁ + b2·x₂ − a1·y₁ − a2·y₂. */
export interface Biquad {
  readonly b0: number;
  readonly b1: number;
  readonly b2: number;
  readonly a1: number;
  readonly a2: number;
}

/**
 * Second-order Butterworth high-pass by the bilinear transform, corner prewarped.
 *
 * @param cornerHz −3 dB point, below half of `rateHz`
 * @param rateHz samples per second
 * @example
 * computeButterworthHighPass(20, 48000).b0 < 1; // true
 */
export function computeButterworthHighPass(cornerHz: number, rateHz: number): Biquad {
  const k = Math.tan((Math.PI * cornerHz) / rateHz);
  const norm = 1 / (1 + Math.SQRT2 * k + k * k);
  return {
    b0: norm,
    b1: -2 * norm,
    b2: norm,
    a1: 2 * (k * k - 1) * norm,
    a2: (1 - Math.SQRT2 * k + k * k) * norm,
  };
}

/**
 * Runs a filter in place over consecutive blocks, keeping its state between calls.
 *
 * @example
 * const block = Float64Array.of(1, 0, 0);
 * createBiquadRunner({ b0: 0.5, b1: 0, b2: 0, a1: 0, a2: 0 })(block, 3);
 * block[0]; // 0.5
 */
export function createBiquadRunner(filter: Biquad): (block: Float64Array, count: number) => void {
  const state = new Float64Array(2);
  return (block, count) => {
    for (let from = 0; from < count; from += piece) {
      run(filter, state, block, from, Math.min(count, from + piece));
    }
  };
}

/** Long blocks go in pieces: a function that is called often is compiled soon and stays so. */
const piece = 4096;

function run(
  { b0, b1, b2, a1, a2 }: Biquad,
  state: Float64Array,
  block: Float64Array,
  from: number,
  to: number,
): void {
  // Transposed direct form II: two states, good rounding behaviour.
  let s1 = state[0];
  let s2 = state[1];
  for (let i = from; i < to; i++) {
    const x = block[i];
    const y = b0 * x + s1;
    s1 = b1 * x - a1 * y + s2;
    s2 = b2 * x - a2 * y;
    block[i] = y;
  }
  state[0] = s1;
  state[1] = s2;
}
