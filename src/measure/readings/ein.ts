import type { PathCalibration } from "../calibration.js";
import type { ReadingKind } from "../kind.js";
import type { Reading, Readings } from "../types.js";

/**
 * Equivalent input noise: the noise at the output referred to the socket by the gain, with the
 * source terminated as the desk file says (common practice; bandwidth that of the noise reading).
 * It is made from other readings once these are calibrated, by {@link equivalentInputNoise}.
 */
export const ein: ReadingKind = {
  id: "ein",
  name: "equivalent input noise",
  unit: "dBu",
  harm: "up",
  least: 2,
  segment: "silence",
  applies: () => false,
  read: () => ({ absent: "it needs a calibration" }),
};

/**
 * Equivalent input noise of a path. The scale of the interface's input stands in noise and gain
 * alike and cancels, so noise and level are taken in dBFS.
 *
 * @param readings noise and level in dBFS, without the interface's own noise
 * @returns the reading, why there is none, or undefined where the source is not known
 */
export function equivalentInputNoise(
  { noise, level }: Readings,
  { socketDbu, socketDb, sourceOhm }: PathCalibration,
): Reading | string | undefined {
  if (sourceOhm === undefined) return undefined;
  if (!noise || !level) return `the ${noise ? "level" : "noise"} could not be read`;
  const value = noise.value - level.value + socketDbu;
  return {
    ...noise,
    value,
    unit: "dBu",
    uncertainty: Math.hypot(noise.uncertainty, level.uncertainty, socketDb),
    common: Math.hypot(noise.common ?? 0, socketDb),
  };
}
