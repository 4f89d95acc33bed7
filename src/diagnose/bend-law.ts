import { getReadingId } from "../measure/reading-kinds.js";
import { hotDb } from "../measure/readings/distortion.js";
import { isOutlier, type PathEvidence } from "./path-evidence.js";

/** How the distortion of 1 kHz goes with level, where siblings are not overloaded yet. */
export interface BendLaw {
  /** From the lowest to the highest level that counts, decibels of distortion per decibel of level. */
  readonly slope: number;
  /** Of any two levels next to each other, the steepest. */
  readonly steepest: number;
  /** Distortion at the lowest of them, decibels. */
  readonly fromDistortionDb: number;
  /** The levels that count, decibels above nominal. */
  readonly fromDb: number;
  readonly toDb: number;
}

/**
 * Steps nearer to where siblings overload show that as well, decibels. Derived: a limiter that is straight
 * up to 0.7 of its limit or more reaches 1 % of distortion within 2.2 dB of where it begins to bend.
 */
const belowOverloadDb = 2;
/**
 * Levels further apart than this show a law, decibels. Derived: a distortion that just stands clear
 * of the noise is known to 1 dB (one standard deviation), a slope over 5 dB then to 0.4 at 95 %,
 * which keeps an order's law apart from the next order's.
 */
const leastSpanDb = 5;

/**
 * How distortion grows from step to step.
 *
 * @returns undefined where fewer than two levels show it
 * @example
 * const step = (aboveNominalDb, distortionDb) => ({ aboveNominalDb, distortionDb });
 * const path = (steps) => ({ measurement: { readings: {}, steps } });
 * // A second harmonic goes with the level.
 * readBendLaw(path([step(0, -60), step(6, -54), step(12, -48)])).steepest; // 1
 * readBendLaw(path([step(0, -60), step(6, -20)])).steepest.toFixed(1); // "6.7"
 * readBendLaw(path([step(0, -60)])); // undefined
 */
export function readBendLaw(
  path: Pick<PathEvidence, "measurement" | "usual">,
): BendLaw | undefined {
  const points = listPoints(path);
  const [first] = points;
  const last = points[points.length - 1];
  if (!first || last.db - first.db < leastSpanDb) return undefined;
  const steps = points.slice(1).map((one, k) => slopeOf(points[k], one));
  return {
    slope: slopeOf(first, last),
    steepest: Math.max(...steps),
    fromDistortionDb: first.distortionDb,
    fromDb: first.db,
    toDb: last.db,
  };
}

interface Point {
  readonly db: number;
  readonly distortionDb: number;
}

const slopeOf = (a: Point, b: Point) => (b.distortionDb - a.distortionDb) / (b.db - a.db);

/**
 * Steps nearer to each other than this are read as one: by the same derivation their slope would be known
 * to no more than 1 at 95 %, a whole order.
 */
const leastApartDb = 2;

function listPoints({ measurement, usual }: Pick<PathEvidence, "measurement" | "usual">) {
  const headroom =
    usual?.readings[getReadingId("overload-level")]?.median ?? Number.POSITIVE_INFINITY;
  const steps = (measurement?.steps ?? []).flatMap(({ aboveNominalDb: db, distortionDb }) =>
    db < 0 || distortionDb === undefined ? [] : [{ db, distortionDb }],
  );
  const read = (id: string, db: number) => {
    const reading = measurement?.readings[id];
    return reading && reading.bound === undefined ? [{ db, distortionDb: reading.value }] : [];
  };
  const pair = [
    ...read(getReadingId("distortion"), 0),
    ...read(getReadingId("overload-distortion"), hotDb),
  ];
  const all: readonly Point[] = steps.length > 1 ? steps : pair;
  const kept: Point[] = [];
  for (const one of all) {
    const last = kept[kept.length - 1];
    if (one.db > headroom - belowOverloadDb || (last && one.db - last.db < leastApartDb)) continue;
    kept.push(one);
  }
  return kept;
}

/**
 * By how much a path distorts more 12 dB above nominal than at nominal, decibels.
 *
 * @returns undefined where either was not read
 * @example
 * const reading = (value) => ({ value, unit: "dB", uncertainty: 0.1 });
 * const readings = { thd: reading(-60), thdHot: reading(-48) };
 * computeHotRise({ measurement: { readings } }); // 12
 * computeHotRise({}); // undefined
 */
export function computeHotRise({
  measurement,
}: Pick<PathEvidence, "measurement">): number | undefined {
  const [nominal, hot] = [getReadingId("distortion"), getReadingId("overload-distortion")].map(
    (id) => measurement?.readings[id],
  );
  return nominal && hot ? hot.value - nominal.value : undefined;
}

/**
 * A third harmonic goes with the square of the level, by 2 dB for each, a fourth by 3 (power series,
 * textbook). Steeper than midway between them is more than a third, but for a tenth that reading adds.
 */
const mostSlope = 2.6;
/**
 * Halves of unlike gain bend at nought, at every level alike: by 0 dB for each. A gap falls by 1 (both
 * from the shape of the curve); a quarter of the way there is left to reading.
 */
const leastSlope = -0.25;
/**
 * More than this no smooth bend distorts at nominal, decibels. Derived: x + s·x² turns back at s·A = ½,
 * where its second harmonic, s·A/2, is a quarter of the fundamental; 12 dB below that a sixteenth, −24 dB,
 * and 2 dB are left to the orders beside it. What is bent more is flattened.
 */
const flattenedDb = -26;
/**
 * A second order takes nothing of the fundamental. A third order that rises up to 12 dB above nominal,
 * x − a·x³ with 3·a·A² ≤ 1 there, takes 2.5 dB of it at most and distorts nominal by −45 dB at most
 * (derived): so what squeezes by more than half of that and distorts nominal by far more has a limit.
 * How far, 11 dB, is common practice, for a second order beside the third.
 */
const squeezedDb = -1.5;
const squeezedFromDb = -34;

/**
 * Whether what bends a path is smooth: its harmonics go with the level by the law of their order, n − 1
 * decibels for each (from the power series of a transfer curve, textbook), and no threshold is passed.
 *
 * @returns undefined where it distorts no more than its siblings, or where the steps do not tell
 * @example
 * const feature = (deviation) => ({ name: "", unit: "dB", deviation, spread: 1 });
 * const features = new Map([["thd", feature(20)], ["thdHot", feature(20)]]);
 * const step = (aboveNominalDb, distortionDb) => ({ aboveNominalDb, distortionDb });
 * const path = (steps) => ({ features, measurement: { readings: {}, steps } });
 *
 * isSmoothBend(path([step(0, -60), step(6, -54), step(12, -48)])); // true
 * isSmoothBend(path([step(0, -80), step(6, -79), step(10, -40)])); // false
 * isSmoothBend(path([step(0, -60)])); // undefined
 */
export function isSmoothBend(
  path: Pick<PathEvidence, "measurement" | "usual" | "features">,
): boolean | undefined {
  const nominalId = getReadingId("distortion");
  const hotUp = isOutlier(path, getReadingId("overload-distortion"), "up");
  const raised = hotUp || isOutlier(path, nominalId, "up");
  const law = readBendLaw(path);
  if (!raised || !law) return undefined;
  // What bends at no other level than the loudest has a threshold beneath it.
  if (law.fromDb > 0 && !hotUp) return undefined;
  if (law.steepest > mostSlope || law.slope < leastSlope) return false;
  const nominal = path.measurement?.readings[nominalId];
  const squeezed = path.features.get(getReadingId("overload-squeeze"))?.deviation ?? 0;
  // What is clean at nominal where its law would still be heard has a threshold above it.
  const leastAtNominal = law.fromDistortionDb - mostSlope * law.fromDb;
  if (nominal && law.fromDb > 0 && nominal.value < leastAtNominal) return false;
  if (nominal && nominal.value > flattenedDb) return false;
  if (nominal && nominal.value > squeezedFromDb && squeezed < squeezedDb) return false;
  return true;
}

/**
 * A second harmonic goes with the level, by 1 dB for each; its slope is known to 0.4 at 95 % where it is
 * known worst (see above), mostly to half of that.
 */
const leastOrderSlope = 0.7;

/**
 * Whether a smooth bend's harmonics grow as those of a power series do, the second with the level or the
 * third with its square: what bends at all levels, and neither past a threshold nor in halves.
 *
 * @returns false where the steps do not tell
 * @example
 * const feature = (deviation) => ({ name: "", unit: "dB", deviation, spread: 1 });
 * const features = new Map([["thd", feature(20)], ["thdHot", feature(20)]]);
 * const step = (aboveNominalDb, distortionDb) => ({ aboveNominalDb, distortionDb });
 * const path = (steps) => ({ features, measurement: { readings: {}, steps } });
 *
 * keepsOrder(path([step(0, -60), step(6, -54), step(12, -48)])); // true
 * keepsOrder(path([step(0, -60), step(6, -60), step(12, -60)])); // false
 */
export function keepsOrder(
  path: Pick<PathEvidence, "measurement" | "usual" | "features">,
): boolean {
  return isSmoothBend(path) === true && (readBendLaw(path)?.slope ?? 0) > leastOrderSlope;
}

/**
 * Whether what bends a path bends all levels alike, by neither more nor less of the louder ones: its halves
 * have unlike gain, for their own sake or as one of them breaks into oscillation.
 *
 * @returns false where the steps do not tell
 * @example
 * const feature = (deviation) => ({ name: "", unit: "dB", deviation, spread: 1 });
 * const features = new Map([["thd", feature(20)], ["thdHot", feature(20)]]);
 * const step = (aboveNominalDb, distortionDb) => ({ aboveNominalDb, distortionDb });
 * const path = (steps) => ({ features, measurement: { readings: {}, steps } });
 *
 * bendsInHalves(path([step(0, -60), step(6, -60), step(12, -60)])); // true
 * bendsInHalves(path([step(0, -60), step(6, -54), step(12, -48)])); // false
 */
export function bendsInHalves(
  path: Pick<PathEvidence, "measurement" | "usual" | "features">,
): boolean {
  // Two levels are no law: a film that is nearly over at one of them bends both alike.
  const read = path.measurement?.steps?.filter((one) => one.distortionDb !== undefined) ?? [];
  const law = read.length > 2 && isSmoothBend(path) === true ? readBendLaw(path) : undefined;
  return law !== undefined && Math.abs(law.slope) <= -leastSlope;
}
