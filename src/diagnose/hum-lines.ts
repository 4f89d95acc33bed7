import { getReadingId, type ReadingId, readingKinds } from "../measure/reading-kinds.js";
import { computeHumShare, getDeviation, isOutlier, type PathEvidence } from "./path-evidence.js";

/** From here on hum shows in other readings too, decibels. */
export const grossHumDb = 20;

/** How the mains stands out of a path: by its lines' own reading, or by the noise that it is most of. */
export interface HumLines {
  /** Odd multiples, or all where they were not told apart, and even ones against the siblings, decibels. */
  readonly oddDb: number;
  readonly evenDb: number;
  /** The reading of the lines stands clear on its own. */
  readonly isClear: boolean;
  /** The noise is up, and mains is most of it. */
  readonly isMostNoise: boolean;
  /** Weighted noise is up where hiss is not, and most of the noise mains. */
  readonly isWeighted: boolean;
}

const oddId = getReadingId("odd-hum");
const humId = getReadingId("hum");
/** Noise as heard, hum included. */
const weightedIds = readingKinds.flatMap(({ id, own }) => {
  const band = own && "band" in own ? own.band : undefined;
  return typeof band === "object" && band.weighting !== "flat" ? [id] : [];
});

/** Even lines as far up as the siblings' where they were not read, decibels. */
const unreadEvenDb = -1;

/**
 * What the mains of a path shows. Siblings' own hum scatters so widely that its reading seldom
 * shows anything; the noise does, because hiss keeps it steady.
 *
 * @returns undefined where hum was not read
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
    // Even lines that are up as far are a supply's.
    isWeighted:
      isMains &&
      weightedIds.some(isUp) &&
      !isUp(getReadingId("hiss")) &&
      oddDb > Math.max(0, evenDb),
  };
}

/**
 * Nats that weighted noise speaks for a line of the mains, whose own reading siblings scatter by too
 * widely to tell.
 */
export const linesNats = 4;
