import { biquadRunner, butterworthHighPass } from "../dsp/biquad.js";
import { decimator } from "../dsp/decimator.js";
import { matchedFilter } from "../dsp/matched-filter.js";
import { bands, chirp, markerSpacing, profiles } from "../signal/profiles.js";
import { renderChirp } from "../signal/synthesise.js";
import type { Band, Profile } from "../signal/table.js";

/** One chirp of a marker as the matched filter saw it. */
interface Peak {
  /** Sample frame of the capture where the chirp begins, fractional. */
  readonly at: number;
  /** Normalised correlation, −1 to 1. */
  readonly likeness: number;
}

/** Two chirps whose spacing names a kind of signal. */
export interface Marker {
  /** Sample frame of the capture where the marker begins, to about one sample. */
  readonly at: number;
  readonly which: "start" | "end";
  readonly profile: Profile;
  readonly band: Band;
  readonly inverted: boolean;
  /** Normalised correlation of the pair, 0 to 1. */
  readonly likeness: number;
}

/** What was heard on a channel as a whole, to tell why no return was found. */
export interface Heard {
  readonly frames: number;
  /** Largest magnitude, full scale 1. */
  readonly peak: number;
  readonly rms: number;
  /** Samples within a hair of full scale. */
  readonly atFullScale: number;
}

export interface MarkerScan {
  readonly markers: readonly Marker[];
  /** Chirps like ours at spacings this version does not know, sample frames. */
  readonly strange: readonly number[];
  readonly heard: Heard;
}

/** A running search of one channel for markers. */
export interface MarkerSearch {
  push(samples: Float64Array, count: number): void;
  finish(): MarkerScan;
}

/**
 * A correlation this high is ten standard deviations above that of white noise, whose spread
 * is 1/√(2·B·T) for a template of bandwidth B and length T (here 0.019).
 */
const leastLikeness = 0.19;

/** Rumble and hum below the chirps say nothing about them. */
const highPassHz = 350;

/** Chirps closer than this are one. */
const apartS = 0.005;

/** How far the spacing of a pair may be off: clocks, and a path that smears the peaks. */
const spacingSlackS = 0.0012;

/**
 * Searches a channel for markers in one pass, in constant memory: decimation to about 24 kHz,
 * matched filter with one chirp, peaks of the normalised correlation, then pairs.
 *
 * @param sampleRate of the capture
 */
export function markerSearch(sampleRate: number): MarkerSearch {
  const factor = Math.max(1, Math.floor(sampleRate / (2.2 * chirp.toHz)));
  const rate = sampleRate / factor;
  const decimate = decimator(factor, chirp.toHz, sampleRate);
  const highPass = biquadRunner(butterworthHighPass(highPassHz, rate));

  const template = new Float64Array(Math.round(chirp.lengthS * rate));
  renderChirp(1, 0, 1 / rate, template);
  biquadRunner(butterworthHighPass(highPassHz, rate))(template, template.length);
  const templateNorm = Math.sqrt(template.reduce((sum, h) => sum + h * h, 0));
  // Below −140 dBFS there is nothing to compare with.
  const leastEnergy = template.length * 1e-14;

  const peaks: Peak[] = [];
  const apart = apartS * rate;
  let best: { at: number; size: number; likeness: number } | undefined;
  const keepBest = () => {
    if (best) {
      peaks.push({ at: best.at * factor + decimate.delay, likeness: best.likeness });
    }
    best = undefined;
  };

  const filter = matchedFilter(template, leastEnergy, (first, correlation, energy, count) => {
    for (let t = 0; t < count; t++) {
      const c = correlation[t];
      const e = energy[t];
      if (e < leastEnergy) continue;
      const size = Math.abs(c) / (templateNorm * Math.sqrt(e));
      if (size < leastLikeness) continue;
      if (best && first + t - best.at > apart) keepBest();
      if (best && size <= best.size) continue;
      const at =
        first + t + vertex(Math.abs(correlation[t - 1]), Math.abs(c), Math.abs(correlation[t + 1]));
      best = { at, size, likeness: c < 0 ? -size : size };
    }
  });

  const thinned = new Float64Array(65536);
  let frames = 0;
  let peak = 0;
  let squares = 0;
  let atFullScale = 0;
  return {
    push(samples, count) {
      // Sums in locals: a captured variable would be boxed anew at every sample.
      let highest = peak;
      let sum = 0;
      let full = 0;
      for (let i = 0; i < count; i++) {
        const x = samples[i];
        const size = Math.abs(x);
        sum += x * x;
        if (size > highest) highest = size;
        if (size >= 0.9999) full++;
      }
      peak = highest;
      squares += sum;
      atFullScale += full;
      frames += count;
      const most = (thinned.length - 1) * factor;
      for (let done = 0; done < count; done += most) {
        const part = samples.subarray(done, Math.min(count, done + most));
        const thin = decimate.push(part, part.length, thinned);
        highPass(thinned, thin);
        filter.push(thinned, thin);
      }
    },
    finish() {
      filter.flush();
      keepBest();
      const rms = frames === 0 ? 0 : Math.sqrt(squares / frames);
      return { ...pair(peaks, sampleRate), heard: { frames, peak, rms, atFullScale } };
    },
  };
}

/** Offset of a parabola's vertex through three equidistant points; 0 at an edge. */
function vertex(before: number, middle: number, after: number): number {
  const bend = before - 2 * middle + after;
  const offset = (before - after) / (2 * bend);
  return Math.abs(offset) <= 1 ? offset : 0;
}

const spacings = profiles.flatMap((profile) =>
  bands.map((band) => ({ profile, band, spacingS: markerSpacing(profile, band) })),
);
const widestS = Math.max(...spacings.map((s) => s.spacingS)) + 0.2;

/** Pairs chirps into markers; of pairs that share a chirp the likelier one stands. */
function pair(peaks: readonly Peak[], sampleRate: number) {
  const found: { marker: Marker; i: number; j: number }[] = [];
  const odd: { i: number; j: number }[] = [];
  for (let i = 0; i < peaks.length; i++) {
    for (let j = i + 1; j < peaks.length; j++) {
      const gapS = (peaks[j].at - peaks[i].at) / sampleRate;
      if (gapS > widestS) break;
      const kind = spacings.find((s) => Math.abs(s.spacingS - gapS) < spacingSlackS);
      const a = peaks[i].likeness;
      const b = peaks[j].likeness;
      if (!kind) {
        if (Math.abs(a) > 0.6 && Math.abs(b) > 0.6 && gapS > 0.05) odd.push({ i, j });
        continue;
      }
      const marker: Marker = {
        at: peaks[i].at,
        which: a * b > 0 ? "start" : "end",
        profile: kind.profile,
        band: kind.band,
        inverted: a < 0,
        likeness: (Math.abs(a) + Math.abs(b)) / 2,
      };
      found.push({ marker, i, j });
    }
  }
  found.sort((p, q) => q.marker.likeness - p.marker.likeness);
  const taken = new Set<number>();
  const markers: Marker[] = [];
  for (const { marker, i, j } of found) {
    if (taken.has(i) || taken.has(j)) continue;
    taken.add(i).add(j);
    markers.push(marker);
  }
  markers.sort((p, q) => p.at - q.at);
  const strange = odd.filter((o) => !taken.has(o.i) && !taken.has(o.j)).map((o) => peaks[o.i].at);
  return { markers, strange };
}
