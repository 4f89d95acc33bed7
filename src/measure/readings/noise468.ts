import { withBuffer } from "../../dsp/buffer-pool.js";
import { amplitudeToDb } from "../../dsp/decibels.js";
import { createFrequencyFilter, type FrequencyFilter } from "../../dsp/frequency-filter.js";
import { createQuasiPeakMeter } from "../../dsp/quasi-peak.js";
import { compute468Weighting } from "../../dsp/weighting.js";
import { isAbsent } from "../absence.js";
import type { ReadingKind } from "../reading-kind.js";
import { digitalZero, type SilenceAnalysis } from "../silence-analysis.js";
import type { Reading } from "../types.js";
import { isSetByWordLength } from "../word-length.js";
import { computeNoiseBetween, noise } from "./noise.js";

/** Below this rate the weighted signal is interpolated, as the meter wants it. */
const leastRateHz = 80_000;
/**
 * The meter hears twice this at the end of the silence before it is read, seconds: it settles, and starts
 * from the lowest that it then shows.
 */
const settlingS = 0.6;
/** Who reads the meter takes the highest that the pointer shows in this time, seconds. */
const watchedS = 1;
/** The pointer hardly moves within this, seconds. */
const blockS = 0.01;
/**
 * How the highest of a second scatters in Gaussian noise: its expanded uncertainty (95 %), decibels, and
 * the time in which it forgets, seconds. From a simulation of ten minutes of white noise; the band that
 * the network leaves is much the same for every noise.
 */
const pointerDb = 0.145;
const forgetsS = 0.72;
/** The highest of a second differs by less than this in hiss, decibels; by more where it crackles. */
const evenDb = 0.5;
/**
 * What sampling, the settling of the meter and its make add, decibels at 95 %: meters of three circuits
 * that read the bursts of BS.468-4 alike read white noise 0.05 dB lower than this one to 0.02 dB higher.
 */
const methodDb = 0.05;

const filters = new Map<number, FrequencyFilter>();

function filterAt(sampleRate: number): FrequencyFilter {
  const kept = filters.get(sampleRate);
  if (kept) return kept;
  const filter = createFrequencyFilter(
    compute468Weighting,
    sampleRate,
    sampleRate < leastRateHz ? 2 : 1,
  );
  filters.set(sampleRate, filter);
  return filter;
}

/**
 * Quasi-peak noise as heard, hum included, weighted (Recommendation ITU-R BS.468-4). The standard has no
 * rule for a pointer that moves; in its tables the reading of a burst, single or repeated, is the highest
 * that is shown. So the highest of each second is taken and their mean given, the second moved along the
 * silence in steps of 10 ms.
 */
export const noise468: ReadingKind<"noise468"> = {
  id: "noise468",
  name: "noise (BS.468 quasi-peak)",
  unit: "dBFS",
  definition: "`noise` with the weighting and the quasi-peak meter of broadcasting",
  source: "ITU-R BS.468-4",
  segment: "silence",
  aspect: "noise",
  harm: "up",
  least: 2,
  levelDependence: "noise",
  share: "power",
  underHum: [-3, 20],
  commonChange: "set-up",
  repeats: noise.id,
  own: { adds: "power", band: { fromHz: 0, toHz: Number.POSITIVE_INFINITY, weighting: "468" } },
  read(context) {
    const quiet = context.quiet();
    if (isAbsent(quiet)) return quiet;
    const { sampleRate } = context.audio;
    const reading = meterReading(quiet, sampleRate);
    if (reading === undefined) return digitalZero;
    const band = { fromHz: 0, toHz: sampleRate / 2, weight: powerWeight };
    const { power } = computeNoiseBetween(quiet, band.fromHz, band.toHz, powerWeight);
    // The meter reads all noise so much above its power.
    return isSetByWordLength(power, quiet.step, sampleRate, band)
      ? { ...reading, limitedBy: "interface" }
      : reading;
  },
};

function powerWeight(hz: number): number {
  const { re, im } = compute468Weighting(hz);
  return re * re + im * im;
}

/**
 * Expanded uncertainty of the mean of the highest over a time, decibels: that of a process whose
 * correlation falls exponentially (textbook result for a first-order process).
 *
 * @param seconds length over which the second that is watched is moved
 */
function meanDb(seconds: number): number {
  const times = seconds / forgetsS;
  return pointerDb * Math.sqrt((2 / times) * (1 - (1 - Math.exp(-times)) / times));
}

function meterReading({ heard }: SilenceAnalysis, sampleRate: number): Reading | undefined {
  const filter = filterAt(sampleRate);
  const rateHz = sampleRate * filter.factor;
  const margin = filter.margin * filter.factor;
  const end = heard.length * filter.factor - margin;
  const block = Math.round(blockS * rateHz);
  const highest = withBuffer(heard.length * filter.factor, (room) => {
    const weighted = filter.apply(heard, room);
    const meter = createQuasiPeakMeter(rateHz);
    const halfway = Math.max(margin, end - Math.round(settlingS * rateHz));
    meter.read(weighted, Math.max(margin, halfway - Math.round(settlingS * rateHz)), halfway);
    meter.read(weighted, halfway, end);
    // The end does not join the beginning: a crackle on both sides of the seam would count as one.
    meter.fallBack();
    const blocks: number[] = [];
    for (let at = margin; at + block <= end; at += block) {
      blocks.push(meter.read(weighted, at, at + block).highest);
    }
    return blocks;
  });
  const watched = slidingHighest(highest, Math.round(watchedS / blockS));
  const mean = watched.reduce((sum, one) => sum + one, 0) / watched.length;
  if (!(mean > 0)) return undefined;
  return {
    // A full-scale sine reads its r.m.s. value, 1/√2, and is 0 dBFS.
    value: amplitudeToDb(mean * Math.SQRT2),
    unit: "dBFS",
    uncertainty: Math.hypot(methodDb, meanDb(watched.length * blockS), unevenDb(watched)),
  };
}

/** Range of the highest of a second where that is more than hiss makes it. */
function unevenDb(watched: readonly number[]): number {
  const range = amplitudeToDb(Math.max(...watched) / Math.min(...watched));
  return range > evenDb ? range : 0;
}

/** Highest of every run of so many values; of all where there are fewer. */
function slidingHighest(values: readonly number[], count: number): number[] {
  const last = Math.max(0, values.length - count);
  return Array.from({ length: last + 1 }, (_, from) =>
    Math.max(...values.slice(from, from + count)),
  );
}
