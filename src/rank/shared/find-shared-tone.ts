import { median } from "../../dsp/robust.js";
import { getReadingId } from "../../measure/reading-kinds.js";
import type { PathToRank } from "../family-stats.js";

/** Decibels; a tone with at least half of the noise's power counts as the noise. */
const mostOfItDb = -3.01;
/** Relative difference of frequencies of one source: clocks and drift during a round, a guess. */
const sameShare = 0.01;
/** Where the noise readings lie, hertz. */
const [fromHz, toHz] = [22.4, 22_400];

/**
 * The frequency of the steady tone that dominates the noise of several paths.
 *
 * @param paths that have the noise in common
 *
 * @returns hertz; undefined if most of them have no such tone, or not the same one
 * @example
 * const of = (value, unit) => ({ value, unit, uncertainty: 0.1 });
 * const path = (toneDb) => ({
 *   path: "7/mic",
 *   family: "mic",
 *   measurement: {
 *     readings: {
 *       hiss: of(-60, "dBFS"),
 *       strayTone: of(toneDb, "dBFS"),
 *       strayToneHz: of(8000, "Hz"),
 *     },
 *     absent: {},
 *     curves: {},
 *   },
 * });
 * findSharedTone([path(-61), path(-61.5), path(-80)]); // 8000
 * findSharedTone([path(-61), path(-80), path(-80)]); // undefined
 */
export function findSharedTone(paths: readonly PathToRank[]): number | undefined {
  const tones = paths.flatMap(({ measurement }) => {
    const hiss = measurement?.readings[getReadingId("hiss")];
    const tone = measurement?.readings[getReadingId("stray-tone")];
    const hz = measurement?.readings[getReadingId("stray-tone-frequency")]?.value;
    if (hiss === undefined || tone === undefined || hz === undefined) return [];
    if (tone.bound !== undefined || hz < fromHz || hz > toHz) return [];
    return tone.value < hiss.value + mostOfItDb ? [] : [hz];
  });
  if (tones.length === 0) return undefined;
  const middle = median(tones);
  const same = tones.filter((hz) => Math.abs(hz - middle) <= sameShare * middle);
  return 2 * same.length > paths.length ? middle : undefined;
}
