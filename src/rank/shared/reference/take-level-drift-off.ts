import { findReadingKind, getReadingId } from "../../../measure/reading-kinds.js";
import type { Reading, Readings } from "../../../measure/types.js";
import type { DriftShare, LevelDrift } from "./types.js";

/** The parts of a path that move with the level. */
interface Levelled {
  readonly readings: Readings;
  readonly partner?: { readonly readings: Readings };
}

/**
 * A path's readings corrected for the drift of the round's level.
 *
 * @param measured as measured
 *
 * @returns the same if the path has no correction
 * @example
 * const readings = { gain: { value: 2, unit: "dB", uncertainty: 0.01 } };
 * const taken = { "7/mic": { db: 2, uncertainty: 0.02, common: 0.02 } };
 * takeLevelDriftOff("7/mic", { readings }, { taken, noise: "stays" }).readings.gain.value; // 0
 * takeLevelDriftOff("8/mic", { readings }, { taken, noise: "stays" }).readings.gain.value; // 2
 * takeLevelDriftOff("7/mic", { readings }, { noise: "stays" }).readings.gain.value; // 2
 */
export function takeLevelDriftOff<M extends Levelled>(
  path: string,
  measured: M,
  { taken, noise }: Pick<LevelDrift, "taken" | "noise">,
): M {
  const share = taken?.[path];
  if (share === undefined) return measured;
  const shift = (readings: Readings): Readings =>
    Object.fromEntries(
      Object.entries(readings).map(([id, reading]) => {
        const moves = levels.has(id) || (noise === "moves" && isAbsoluteNoise(id, reading));
        return [id, moves ? shifted(reading, share) : reading];
      }),
    );
  const { partner } = measured;
  return {
    ...measured,
    readings: shift(measured.readings),
    ...(partner === undefined
      ? {}
      : { partner: { ...partner, readings: shift(partner.readings) } }),
  };
}

const levels: ReadonlySet<string> = new Set([getReadingId("gain"), getReadingId("level")]);

/** Noise and hum as levels at the output, which a master level moves. */
function isAbsoluteNoise(id: string, { unit }: Reading): boolean {
  const kind = findReadingKind(id);
  // Noise referred to the input does not depend on the level after it.
  const isAtOutput = kind?.unit === "dBFS";
  const adds = kind?.own?.adds;
  return isAtOutput && /^dB(?:FS|u)/.test(unit) && (adds === "power" || adds === "phase");
}

function shifted(reading: Reading, share: DriftShare): Reading {
  const common = Math.hypot(reading.common ?? 0, share.common);
  return {
    ...reading,
    value: reading.value - share.db,
    uncertainty: Math.hypot(reading.uncertainty, share.uncertainty),
    ...(common === 0 ? {} : { common }),
  };
}
