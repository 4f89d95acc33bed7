import { borrowCopy } from "../dsp/buffer-pool.js";
import { finalPoints, type HarmonicLines } from "../dsp/harmonic-lines.js";
import { subtractSeries } from "../dsp/phase-fold.js";

/** Residue of a mains line that was removed from the sweep. */
export interface MainsRest {
  readonly hz: number;
  /** Squared peak amplitude, expected. */
  readonly power: number;
}

/** A line is removed if its power is this many times the variance of its fit. */
const leastPower = 12;
/**
 * Share of a line's amplitude that has another phase a few seconds later, because the mains wander.
 */
const wandering = 0.01;

/**
 * Removes the mains lines found in the silence from the response to a sweep: a line is steady, so
 * its phase is known seconds later. A residue remains from the uncertainty of amplitude and
 * frequency, and from wandering of the mains. Weak lines are not removed.
 *
 * @param samples the response to the sweep; not changed
 *
 * @param sampleRate samples per second, by which the lines were fitted
 * @param lines of the silence
 * @param laterBy samples from the first of the silence to the first of these
 * @returns the response without the lines, and the residue of each
 * @example
 * const samples = Float64Array.of(0.1, 0.2, 0.3);
 * const lines = createReturnContext(audio).quiet().lines;
 * // The recording has no hum, so that there is nothing to take out.
 * lines; // undefined
 */
export function takeMainsOut(
  samples: Float64Array,
  sampleRate: number,
  lines: HarmonicLines,
  laterBy: number,
): { readonly samples: Float64Array; readonly rest: readonly MainsRest[] } {
  const { amplitudes, variances, frequencyHz, deviationHz, series } = lines;
  const middle = lines.middle - laterBy;
  const laterS = Math.abs(samples.length / 2 - middle) / sampleRate;
  const isClear = amplitudes.map((a, k) => (a * a > leastPower * variances[k] ? 1 : 0));
  const rest = Array.from(amplitudes, (a, k): MainsRest => {
    const power = Math.max(0, a * a - 2 * variances[k]);
    const turned = 2 * Math.PI * (k + 1) * deviationHz * laterS;
    const left = power * (wandering ** 2 + turned ** 2) + 2 * variances[k];
    return { hz: (k + 1) * frequencyHz, power: isClear[k] ? Math.min(power, left) : power };
  });
  if (!isClear.includes(1)) return { samples, rest };
  const out = borrowCopy(samples);
  const keep = (x: number, order: number) => x * (isClear[order - 1] ?? 0);
  subtractSeries(
    out,
    { re: series.re.map(keep), im: series.im.map(keep) },
    { cyclesPerSample: frequencyHz / sampleRate, middle },
    finalPoints,
  );
  return { samples: out, rest };
}
