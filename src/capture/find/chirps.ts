import { computeButterworthHighPass, createBiquadRunner } from "../../dsp/biquad.js";
import { createDecimator } from "../../dsp/decimator.js";
import { createMatchedFilter } from "../../dsp/matched-filter.js";
import { chirp } from "../../signal/signal-table.js";
import { renderChirp } from "../../signal/synthesise.js";

/** A chirp of a marker, as found by the matched filter. */
export interface Chirp {
  /** Sample frame where the chirp begins, fractional, to about one sample. */
  readonly at: number;
  /** Normalised correlation, −1 to 1. */
  readonly likeness: number;
  /**
   * The correlation around its peak, {@link aroundSamples} on either side. Two chirps of a marker
   * through the same path have the same shape, whatever its phase shift.
   */
  readonly shape: readonly number[];
}

/** Samples of a shape on either side of its centre: more than a millisecond and a half. */
export const aroundSamples = 40;

/** A running search of one channel for chirps. */
export interface ChirpSearch {
  push(samples: Float64Array, count: number): void;
  /**
   * All chirps, in the order of time, in frames from the first sample pushed. Resets for the next
   * stream.
   */
  finish(): readonly Chirp[];
}

/**
 * Ten standard deviations of the correlation with white noise, which is 1/√(2·B·T) for a template
 * of bandwidth B and length T (here 0.019).
 */
const leastLikeness = 0.19;

/** Rumble and hum below the chirps say nothing about them. */
const highPassHz = 350;

/** Chirps closer than this are one. */
export const minChirpSpacingS = 0.005;

/** Samples per block through all filters, so that they stay in the processor's cache. */
const atOnce = 16_384;

/**
 * Searches a channel for chirps in one pass, in constant memory: decimation to about 24 kHz,
 * matched filter with one chirp, peaks of the normalised correlation.
 *
 * @param sampleRate of the capture
 * @example
 * const reader = await openSamples(inspectRecording(recording));
 *
 * const search = createChirpSearch(reader.info.sampleRate);
 * const samples = new Float64Array(reader.frames);
 * search.push(samples, reader.read(0, reader.frames, 0, samples));
 * // Two chirps in each of two markers.
 * search.finish().length; // 4
 * reader.close();
 */
export function createChirpSearch(sampleRate: number): ChirpSearch {
  const factor = Math.max(1, Math.floor(sampleRate / (2.2 * chirp.toHz)));
  const rate = sampleRate / factor;
  const decimate = createDecimator(factor, chirp.toHz, sampleRate);
  const freshHighPass = () => createBiquadRunner(computeButterworthHighPass(highPassHz, rate));
  let highPass = freshHighPass();

  const template = new Float64Array(Math.round(chirp.lengthS * rate));
  renderChirp(1, 0, 1 / rate, template);
  freshHighPass()(template, template.length);
  const templateNorm = Math.sqrt(template.reduce((sum, h) => sum + h * h, 0));
  // Below −140 dBFS there is nothing to compare with.
  const leastEnergy = template.length * 1e-14;

  let found: Chirp[] = [];
  const apart = minChirpSpacingS * rate;
  let best: Best | undefined;
  const keepBest = () => {
    if (best) {
      const { at, likeness, shape } = best;
      found.push({ at: at * factor + decimate.delay, likeness, shape });
    }
    best = undefined;
  };
  // The end of the previous results, since a peak may be at the edge.
  const tail = new Float64Array(2 * aroundSamples);
  let tailEnd = -1;
  const shapeAt = (index: number, first: number, correlation: Float64Array, count: number) =>
    Array.from({ length: 2 * aroundSamples + 1 }, (_, k) => {
      const t = index - aroundSamples + k - first;
      if (t >= count) return 0;
      if (t >= 0) return correlation[t];
      return tailEnd === first && t >= -tail.length ? tail[tail.length + t] : 0;
    });

  const least = (leastLikeness * templateNorm) ** 2;
  const filter = createMatchedFilter(template, leastEnergy, (first, correlation, energy, count) => {
    const draw = () => {
      if (best && best.index > first - aroundSamples) {
        best.shape = shapeAt(best.index, first, correlation, count);
      }
    };
    for (let t = 0; t < count; t++) {
      const c = correlation[t];
      const e = energy[t];
      // Squares are compared first, since nearly all are below the threshold.
      if (c * c < least * e || e < leastEnergy) continue;
      const size = Math.abs(c) / (templateNorm * Math.sqrt(e));
      if (best && first + t - best.at > apart) {
        draw();
        keepBest();
      }
      if (best && size <= best.size) continue;
      const at =
        first + t + vertex(Math.abs(correlation[t - 1]), Math.abs(c), Math.abs(correlation[t + 1]));
      best = { at, index: first + t, size, likeness: c < 0 ? -size : size, shape: [] };
    }
    draw();
    const end = Math.max(0, count - tail.length);
    tail.fill(0);
    tail.set(correlation.subarray(end, count), tail.length - (count - end));
    tailEnd = first + count;
  });

  const thinned = new Float64Array(Math.ceil(atOnce / factor) + 1);
  return {
    push(samples, count) {
      for (let done = 0; done < count; done += atOnce) {
        const part = samples.subarray(done, Math.min(count, done + atOnce));
        const thin = decimate.push(part, part.length, thinned);
        highPass(thinned, thin);
        filter.push(thinned, thin);
      }
    },
    finish() {
      filter.flush();
      keepBest();
      const all = found;
      found = [];
      decimate.clear();
      highPass = freshHighPass();
      return all;
    },
  };
}

/** The best of peaks too close together to be two chirps. */
interface Best {
  readonly at: number;
  readonly index: number;
  readonly size: number;
  readonly likeness: number;
  shape: readonly number[];
}

/** Offset of a parabola's vertex through three equidistant points; 0 at an edge. */
function vertex(before: number, middle: number, after: number): number {
  const bend = before - 2 * middle + after;
  const offset = (before - after) / (2 * bend);
  return Math.abs(offset) <= 1 ? offset : 0;
}
