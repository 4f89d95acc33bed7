import { withBuffer } from "../../dsp/buffer-pool.js";
import { amplitudeToDb } from "../../dsp/decibels.js";
import { createFrequencyFilter, type FrequencyFilter } from "../../dsp/frequency-filter.js";
import { createQuasiPeakMeter } from "../../dsp/quasi-peak.js";
import { compute468Weighting } from "../../dsp/weighting.js";
import type { ReadingKind } from "../reading-kind.js";
import { digitalZero, type SilenceAnalysis } from "../silence-analysis.js";
import type { Reading } from "../types.js";
import { noise } from "./noise.js";

/** Below this rate a peak may fall between two samples, so the weighted signal is interpolated. */
const leastRateHz = 80_000;
/** The meter hears this much of the silence before it is read, seconds: it settles. */
const settlingS = 1.2;
/**
 * How the pointer wavers in Gaussian noise: its expanded uncertainty (95 %) at one instant, decibels,
 * and the time in which it forgets, seconds. From a simulation of ten minutes of white noise; the
 * band that the network leaves is much the same for every noise.
 */
const pointerDb = 0.197;
const forgetsS = 0.19;
/** What sampling and the settling of the meter add, decibels at 95 %. */
const methodDb = 0.02;

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

/** Quasi-peak noise as heard, hum included, weighted (Recommendation ITU-R BS.468-4). */
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
  own: { adds: "power" },
  read(context) {
    const quiet = context.quiet();
    if (typeof quiet === "string") return { absent: quiet };
    const reading = meterReading(quiet, context.audio.sampleRate);
    return reading ?? { absent: digitalZero };
  },
};

/**
 * Expanded uncertainty of the pointer's mean over a time, decibels: that of a process whose
 * correlation falls exponentially (textbook result for a first-order process).
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
  const { mean } = withBuffer(heard.length * filter.factor, (room) => {
    const weighted = filter.apply(heard, room);
    const meter = createQuasiPeakMeter(rateHz);
    meter.read(weighted, Math.max(margin, end - Math.round(settlingS * rateHz)), end);
    return meter.read(weighted, margin, end);
  });
  if (!(mean > 0)) return undefined;
  const seconds = (end - margin) / rateHz;
  return {
    // A full-scale sine reads its r.m.s. value, 1/√2, and is 0 dBFS.
    value: amplitudeToDb(mean * Math.SQRT2),
    unit: "dBFS",
    uncertainty: Math.hypot(methodDb, meanDb(seconds)),
  };
}
