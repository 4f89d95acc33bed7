import { borrowCopy } from "../dsp/buffer-pool.js";
import { finalPoints, type HarmonicLines } from "../dsp/harmonic-lines.js";
import { subtractSeries } from "../dsp/phase-fold.js";

/** What is left of a line of the mains that was taken out of the sweep. */
export interface MainsRest {
  readonly hz: number;
  /** Squared peak amplitude, expected. */
  readonly power: number;
}

/** A line is taken out where its power is so many times the variance that it was fitted with. */
const leastPower = 12;
/** The mains wander: so much of a line's amplitude is of another phase a few seconds later. */
const wandering = 0.01;

/**
 * Takes the lines of the mains, as the silence before it showed them, out of a sweep's answer: a line
 * is steady, so its phase is known seconds later. What stays is what amplitude and frequency are not
 * known well enough for, and the mains' own wandering. Weak lines stay whole.
 *
 * @param samples the sweep's answer; left as it is
 * @param sampleRate samples a second, by which the lines were fitted
 * @param lines of the silence
 * @param laterBy samples from the first of the silence to the first of these
 * @returns the answer without the lines, and what is left of each
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
