import { amplitudeToDb, dbPerNeper } from "../../dsp/decibels.js";
import { type Absent, isAbsent } from "../absence.js";
import type { ReadingKind } from "../reading-kind.js";
import type { ReturnContext } from "../return-context.js";
import type { Reading } from "../types.js";

/** Numerical and settling residue of the fit, decibels at 95 %. */
const methodDb = 2e-5;

function levelReading(context: ReturnContext): Reading | Absent {
  const tone = context.tone("tone-1k");
  if (isAbsent(tone)) return tone;
  const amplitude = tone.amplitudes[0];
  const variance = tone.variances[0];
  const noise =
    computeCoverageFactor(tone.hidden / variance) * dbPerNeper * (Math.sqrt(variance) / amplitude);
  return {
    value: amplitudeToDb(amplitude),
    unit: "dBFS",
    uncertainty: Math.hypot(methodDb, noise),
  };
}

/**
 * Factor from a standard deviation to 95 % of its distribution. That of noise is normal: 1.96. A
 * mains line of unknown phase adds a·cos φ to the level, which never exceeds a: 95 % is within 1.41
 * deviations (arcsine distribution, JCGM 101, 6.4.6, from memory). If both add, the sum is nearly
 * normal unless the line dominates; in between, a curve within 4 % of the factor integrated over φ.
 *
 * @param share of the variance due to mains lines, 0 to 1
 * @example
 * computeCoverageFactor(0); // 1.96
 * // Of nothing but a line of unknown phase: √2·sin(0.95·π/2).
 * computeCoverageFactor(1).toFixed(3); // "1.410"
 */
export function computeCoverageFactor(share: number): number {
  return normal - (normal - arcsine) * share ** 6;
}

const normal = 1.96;
const arcsine = Math.SQRT2 * Math.sin((0.95 * Math.PI) / 2);

/** Level of the 1 kHz tone; a full-scale sine is 0 dBFS (AES17). */
export const level: ReadingKind<"level"> = {
  id: "level",
  name: "level",
  unit: "dBFS",
  definition: "level of the 1 kHz tone as it came back",
  source: "AES17",
  segment: "tone-1k",
  aspect: "gain",
  role: "level",
  harm: "none",
  least: 0,
  levelDependence: "itself",
  share: "shift",
  leastChange: 0.7,
  commonChange: "set-up",
  read: levelReading,
};

/** Level of the 1 kHz tone relative to that sent. */
export const gain: ReadingKind<"gain"> = {
  id: "gain",
  name: "gain",
  unit: "dB",
  definition: "level of the 1 kHz tone against that sent",
  source: "common practice",
  segment: "tone-1k",
  aspect: "gain",
  role: "gain",
  harm: "both",
  harmOfTwo: "down",
  // A control is set to its mark by hand within about half a decibel (common practice, no source).
  least: 0.7,
  batch: { group: "gain" },
  evidence: { group: "gain", order: 10 },
  shared: { order: 20, group: "gain", aspect: "level", harm: "both", scatter: 0.35, least: 1.2 },
  share: "shift",
  recognition: { order: 10, repeat: 0.3, withLevel: true },
  // Without a calibration the interface may have been set slightly differently.
  closing: { most: 1.5, mostCalibrated: 1 },
  relativeUntilCalibrated: true,
  commonChange: "set-up",
  repeats: "level",
  read(context) {
    const reading = levelReading(context);
    if (isAbsent(reading)) return reading;
    const tone = context.tone("tone-1k");
    const sent = isAbsent(tone) ? 0 : tone.sentDbfs;
    return { ...reading, value: reading.value - sent, unit: "dB" };
  },
};
