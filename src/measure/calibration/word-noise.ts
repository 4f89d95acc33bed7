import { dbToPower } from "../../dsp/decibels.js";
import { bandEdge } from "../noise-bands.js";
import type { OwnBand, OwnShare } from "../reading-kind.js";
import { computeDitherInBand } from "../word-length.js";
import { ownWeightings } from "./own-weighting.js";
import type { UnlikeWords } from "./types.js";

/** The most that quantisation in each recording adds to a reading, as powers in its unit. */
export interface WordNoise {
  readonly heard: number;
  readonly own: number;
}

/**
 * Decibels by which the quasi-peak meter at most reads dither above its power: 4.0 if noise masks
 * the steps, 4.3 ± 0.15 otherwise, as simulated.
 */
const meterDb = 4.6;

/** Power that a reading is relative to, in each recording; 1 for a level. */
interface References {
  readonly heard: number;
  readonly own: number;
}

/**
 * The most that quantisation in round and loopback adds to a reading: dither of a step, white up to
 * half the sample rate. Without dither it is less; noise shaping by a recorder is not considered.
 *
 * @param share how the interface's share adds in the reading
 *
 * @param words undefined if both have the same word length: then the loopback includes it
 * @param atHz midband of a curve's point
 * @returns undefined if there is nothing to add
 * @example
 * const band = { fromHz: 0, toHz: 24_000, weighting: "flat" };
 * const words = { heardStep: 2 ** -15, ownStep: 0, sampleRate: 48_000 };
 * const { heard, own } = computeWordNoise({ adds: "power", band }, words, { heard: 1, own: 1 });
 * // 16 bits against a sine at full scale.
 * (10 * Math.log10(heard)).toFixed(1); // "-93.3"
 * own; // 0
 */
export function computeWordNoise(
  share: OwnShare,
  words: UnlikeWords | undefined,
  against: References,
  atHz?: number,
): WordNoise | undefined {
  if (words === undefined || share.adds !== "power" || share.band === undefined) return undefined;
  const band = share.band === "third-octaves" ? thirdOctaveAt(atHz) : share.band;
  if (band === undefined) return undefined;
  const { fromHz, weighting } = band;
  const toHz = Math.min(band.toHz, words.sampleRate / 2);
  const weighted = { fromHz, toHz, weight: ownWeightings[weighting] };
  const metered = weighting === "468" ? dbToPower(meterDb) : 1;
  // Full-scale sine: power one half is 0 dBFS.
  const power = (step: number) =>
    2 * metered * computeDitherInBand(step, words.sampleRate, weighted);
  return {
    heard: power(words.heardStep) / against.heard,
    own: power(words.ownStep) / against.own,
  };
}

function thirdOctaveAt(hz: number | undefined): OwnBand | undefined {
  if (hz === undefined) return undefined;
  return { fromHz: hz / bandEdge, toHz: hz * bandEdge, weighting: "flat" };
}
