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

/** Below this rate the weighted signal is interpolated for the meter. */
const leastRateHz = 80_000;
/**
 * Seconds; before reading, the meter is fed twice this from the end of the silence: it settles, and
 * starts from its lowest value then.
 */
const settlingS = 0.6;
/** Seconds over which the highest pointer reading is taken. */
const watchedS = 1;
/** The pointer hardly moves within this, seconds. */
const blockS = 0.01;
/**
 * Scatter of the highest of a second in Gaussian noise: expanded uncertainty (95 %), decibels, and
 * correlation time, seconds. From a simulation of ten minutes of white noise; the network makes the
 * band nearly the same for every noise.
 */
const pointerDb = 0.145;
const forgetsS = 0.72;
/** Decibels; variation of the highest of a second in hiss. Crackle varies more. */
const evenDb = 0.5;
/**
 * Decibels at 95 % from sampling, settling and the meter's circuit: meters of three circuits that
 * read the bursts of BS.468-4 equally read white noise 0.05 dB lower than this one to 0.02 dB
 * higher.
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
 * Quasi-peak noise as heard, hum included, weighted (Recommendation ITU-R BS.468-4). The standard
 * has no rule for a moving pointer; in its tables the reading of a burst, single or repeated, is
 * the highest shown. So the value is the mean of the highest readings in a window of one second,
 * moved along the silence in steps of 10 ms.
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
    // The meter reads all noise this much above its power.
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
 * @param seconds length over which the window is moved
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
    // The end does not continue into the beginning: a crackle on both sides of the seam would count
    // as one.
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

/** Range of the highest of a second, if more than hiss explains. */
function unevenDb(watched: readonly number[]): number {
  const range = amplitudeToDb(Math.max(...watched) / Math.min(...watched));
  return range > evenDb ? range : 0;
}

/** Maximum of every window of this many values; of all if there are fewer. */
function slidingHighest(values: readonly number[], count: number): number[] {
  const last = Math.max(0, values.length - count);
  return Array.from({ length: last + 1 }, (_, from) =>
    Math.max(...values.slice(from, from + count)),
  );
}
