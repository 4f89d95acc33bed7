import { voltsToDbu } from "../../dsp/dbu.js";
import { computeThermalNoiseV } from "../../dsp/thermal-noise.js";
import type { Absent } from "../absence.js";
import type { PathCalibration } from "../calibration/types.js";
import type { ReadingKind } from "../reading-kind.js";
import type { Reading, Readings } from "../types.js";
import { dataSheetBandHz } from "./noise.js";

/**
 * Equivalent input noise: the noise at the output referred to the socket by the gain, with the
 * source terminated as the desk file says (common practice; 20 Hz to 20 kHz, as data sheets have it).
 * It is made from other readings once these are calibrated, by {@link computeEquivalentInputNoise}.
 */
export const ein: ReadingKind<"ein"> = {
  id: "ein",
  name: "equivalent input noise",
  unit: "dBu",
  definition: "`noise20k` referred to the socket by the gain",
  source: "common practice",
  segment: "silence",
  aspect: "noise",
  harm: "up",
  least: 2,
  share: "power",
  commonChange: "set-up",
  applies: () => false,
  read: () => ({ absent: { code: "uncalibrated" } }),
};

/**
 * Equivalent input noise of a path. The scale of the interface's input is in both noise and gain
 * and cancels, so noise and level are used in dBFS.
 *
 * @param readings noise and level in dBFS, without the interface's own noise
 * @returns the reading, why there is none, or undefined if the source is not known
 * @example
 * const dbfs = (value) => ({ value, unit: "dBFS", uncertainty: 0.1 });
 * const fed = { socketDbu: -40, socketDb: 0.08, sourceOhm: 150 };
 * // −40 dBu at the socket come back 85 dB above the noise: −125 dBu.
 * computeEquivalentInputNoise({ noise20k: dbfs(-103), level: dbfs(-18) }, fed).value; // -125
 */
export function computeEquivalentInputNoise(
  { noise20k: noise, level }: Readings,
  { socketDbu, socketDb, sourceOhm }: PathCalibration,
): Reading | Absent | undefined {
  if (sourceOhm === undefined) return undefined;
  if (!noise || !level) {
    return { absent: { code: noise ? "without-level" : "without-noise" } };
  }
  const value = noise.value - level.value + socketDbu;
  const uncertainty = Math.hypot(noise.uncertainty, level.uncertainty, socketDb);
  const thermal = voltsToDbu(computeThermalNoiseV(sourceOhm, dataSheetBandHz));
  // Nothing is quieter than its source; if it seems so, setting, feed or termination are not as
  // given.
  if (noise.bound === undefined && value + uncertainty < thermal) {
    return { absent: { code: "below-thermal-noise", belowDb: thermal - value, sourceOhm } };
  }
  return {
    ...noise,
    value,
    unit: "dBu",
    uncertainty,
    common: Math.hypot(noise.common ?? 0, socketDb),
  };
}
