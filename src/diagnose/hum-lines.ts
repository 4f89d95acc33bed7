import { getReadingId, type ReadingId, readingKinds } from "../measure/reading-kinds.js";
import { computeHumShare, getDeviation, isOutlier, type PathEvidence } from "./path-evidence.js";

/** From this rise on, hum shows in other readings too, decibels. */
export const grossHumDb = 20;

/**
 * How mains hum stands out on a path: by the reading of its harmonics, or by noise that is mostly
 * hum.
 */
export interface HumLines {
  /**
   * Odd harmonics (or all, if they were not separated) and even ones relative to the siblings,
   * decibels.
   */
  readonly oddDb: number;
  readonly evenDb: number;
  /** The reading of the harmonics is an outlier by itself. */
  readonly isClear: boolean;
  /** The noise has risen, and most of it is mains hum. */
  readonly isMostNoise: boolean;
  /** Weighted noise has risen, hiss has not, and most of the noise is mains hum. */
  readonly isWeighted: boolean;
}

const oddId = getReadingId("odd-hum");
const humId = getReadingId("hum");
/** Noise as heard, hum included. */
const weightedIds = readingKinds.flatMap(({ id, own }) => {
  const band = own && "band" in own ? own.band : undefined;
  return typeof band === "object" && band.weighting !== "flat" ? [id] : [];
});

/** Assumed rise of the even harmonics if they were not read, decibels. */
const unreadEvenDb = -1;

/**
 * What mains hum on a path shows. Siblings' hum scatters so widely that its reading seldom shows
 * anything; the noise does, because hiss keeps it steady.
 *
 * @returns undefined if hum was not read
 * @example
 * const up = (deviation, spread) => ({ name: "", unit: "dB", deviation, spread });
 * const dbfs = (value) => ({ value, unit: "dBFS", uncertainty: 0.1 });
 * const features = new Map([["humOdd", up(30, 12)], ["noise", up(28, 0.7)]]);
 * const path = { features, measurement: { readings: { hum: dbfs(-80), noise: dbfs(-79.9) } } };
 * readHumLines(path).isClear; // false
 * readHumLines(path).isMostNoise; // true
 */
export function readHumLines(path: PathEvidence): HumLines | undefined {
  const oddDb = getDeviation(path, oddId) ?? getDeviation(path, humId);
  if (oddDb === undefined) return undefined;
  const evenDb = getDeviation(path, getReadingId("even-hum")) ?? unreadEvenDb;
  const isMains = (computeHumShare(path) ?? 0) > 0.5;
  const isUp = (id: ReadingId) => isOutlier(path, id, "up");
  return {
    oddDb,
    evenDb,
    isClear: isUp(oddId) || isUp(humId),
    isMostNoise: isMains && isUp(getReadingId("noise")),
    // Even harmonics that have risen as far come from a supply.
    isWeighted:
      isMains &&
      weightedIds.some(isUp) &&
      !isUp(getReadingId("hiss")) &&
      oddDb > Math.max(0, evenDb),
  };
}

/**
 * Nats in favour of mains hum from weighted noise if the siblings' hum scatters too widely to show
 * it.
 */
export const linesNats = 4;
