/** Half the length of the interpolator, and steps per sample of its table. */
const reach = 32;
const phases = 512;
/** Kaiser window; beta for a stopband near −120 dB (Kaiser 1974). */
const beta = 12;

/**
 * Samples a signal with another clock by a windowed sinc, linear between the table's steps.
 *
 * @param signal samples, band-limited to 0.45 of its rate
 * @param ppm positive: the result holds more samples for the same time
 */
export function resampleByPpm(signal: Float64Array, ppm: number): Float64Array {
  if (ppm === 0) return signal;
  const ratio = 1 + ppm * 1e-6;
  const table = sincTable();
  const out = new Float64Array(Math.round(signal.length * ratio));
  for (let i = 0; i < out.length; i++) {
    const at = i / ratio;
    const whole = Math.floor(at);
    const position = (at - whole) * phases;
    const phase = Math.floor(position);
    const part = position - phase;
    const first = Math.max(0, whole - reach + 1);
    const last = Math.min(signal.length - 1, whole + reach);
    let sum = 0;
    for (let k = first; k <= last; k++) {
      const index = (whole - k + reach) * phases + phase;
      sum += signal[k] * (table[index] + part * (table[index + 1] - table[index]));
    }
    out[i] = sum;
  }
  return out;
}

/** Windowed sinc from −reach to +reach; index (x + reach)·phases. */
function sincTable(): Float64Array {
  const table = new Float64Array(2 * reach * phases + 2);
  for (let i = 0; i <= 2 * reach * phases; i++) {
    const x = i / phases - reach;
    const window = bessel(beta * Math.sqrt(Math.max(0, 1 - (x / reach) ** 2))) / bessel(beta);
    table[i] = window * (x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x));
  }
  return table;
}

/** Modified Bessel function I₀ by its power series. */
function bessel(x: number): number {
  let term = 1;
  let sum = 1;
  for (let k = 1; term > sum * 1e-17; k++) {
    term *= (x / (2 * k)) ** 2;
    sum += term;
  }
  return sum;
}
