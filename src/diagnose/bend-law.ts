import { getReadingId } from "../measure/reading-kinds.js";
import { hotDb } from "../measure/readings/distortion.js";
import { isOutlier, type PathEvidence } from "./path-evidence.js";

/** How the distortion at 1 kHz depends on level, as long as siblings are not overloaded. */
export interface BendLaw {
  /**
   * Slope from the lowest to the highest level that counts, decibels of distortion per decibel of
   * level.
   */
  readonly slope: number;
  /** Steepest slope between two adjacent levels. */
  readonly steepest: number;
  /** Distortion at the lowest level that counts, decibels. */
  readonly fromDistortionDb: number;
  /** The levels that count, decibels above nominal. */
  readonly fromDb: number;
  readonly toDb: number;
}

/**
 * Steps closer than this to where siblings overload show that overload too, decibels. Derived: a
 * limiter that is linear up to at least 0.7 of its limit reaches 1 % distortion within 2.2 dB of
 * where it begins to bend.
 */
const belowOverloadDb = 2;
/**
 * Levels further apart than this show a law, decibels. Derived: a distortion just above the noise
 * is known to 1 dB (one standard deviation), so a slope over 5 dB is known to 0.4 at 95 %, enough
 * to separate the laws of adjacent orders.
 */
const leastSpanDb = 5;

/**
 * How distortion grows from level step to level step.
 *
 * @returns undefined if fewer than two levels show it
 * @example
 * const step = (aboveNominalDb, distortionDb) => ({ aboveNominalDb, distortionDb });
 * const path = (steps) => ({ measurement: { readings: {}, steps } });
 * // A second harmonic is proportional to the level.
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
 * Steps closer together than this are read as one: by the same derivation their slope would only be
 * known to 1 at 95 %, a whole order.
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
 * How much higher the distortion is 12 dB above nominal than at nominal, decibels.
 *
 * @returns undefined if either was not read
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
 * A third harmonic rises by 2 dB per decibel of level, a fourth by 3 (power series, textbook). A
 * slope steeper than midway between them is more than a third; a tenth is added for reading errors.
 */
const mostSlope = 2.6;
/**
 * Halves of unequal gain distort every level by the same amount, 0 dB per decibel. The distortion
 * of a gap falls by 1 (both from the shape of the curve); a quarter of that is allowed for reading
 * errors.
 */
const leastSlope = -0.25;
/**
 * A smooth curve does not distort nominal by more than this, decibels. Derived: x + s·x² turns back
 * at s·A = ½, where its second harmonic, s·A/2, is a quarter of the fundamental; 12 dB below that
 * it is a sixteenth, −24 dB, and 2 dB are allowed for other orders. A curve with more distortion is
 * flattened.
 */
const flattenedDb = -26;
/**
 * A second order does not change the fundamental. A third order that still rises 12 dB above
 * nominal, x − a·x³ with 3·a·A² ≤ 1 there, reduces it by 2.5 dB at most and distorts nominal by −45
 * dB at most (derived). So a path that compresses by more than half of that and distorts nominal by
 * far more has a limit. The margin, 11 dB, is common practice and leaves room for a second order
 * beside the third.
 */
const squeezedDb = -1.5;
const squeezedFromDb = -34;

/**
 * Whether the nonlinearity of a path is smooth: its harmonics follow the law of their order, n − 1
 * decibels per decibel of level (from the power series of a transfer curve, textbook), and there is
 * no threshold.
 *
 * @returns undefined if it distorts no more than its siblings, or if the steps do not show it
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
  // Distortion at the loudest level alone has a threshold below it.
  if (law.fromDb > 0 && !hotUp) return undefined;
  if (law.steepest > mostSlope || law.slope < leastSlope) return false;
  const nominal = path.measurement?.readings[nominalId];
  const squeezed = path.features.get(getReadingId("overload-squeeze"))?.deviation ?? 0;
  // A path that is clean at nominal, although its law would still show there, has a threshold above
  // it.
  const leastAtNominal = law.fromDistortionDb - mostSlope * law.fromDb;
  if (nominal && law.fromDb > 0 && nominal.value < leastAtNominal) return false;
  if (nominal && nominal.value > flattenedDb) return false;
  if (nominal && nominal.value > squeezedFromDb && squeezed < squeezedDb) return false;
  return true;
}

/**
 * A second harmonic rises by 1 dB per decibel of level; its slope is known to 0.4 at 95 % at worst
 * (see above), mostly to half of that.
 */
const leastOrderSlope = 0.7;

/**
 * Whether a smooth nonlinearity's harmonics grow like those of a power series, the second with the
 * level or the third with its square: not past a threshold, nor from unequal halves.
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
 * Whether all levels are distorted by the same amount: the two halves of the wave have unequal
 * gain, by themselves or because one of them breaks into oscillation.
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
  // Two levels are not enough for a law: a film that has nearly vanished at one of them distorts
  // both equally.
  const read = path.measurement?.steps?.filter((one) => one.distortionDb !== undefined) ?? [];
  const law = read.length > 2 && isSmoothBend(path) === true ? readBendLaw(path) : undefined;
  return law !== undefined && Math.abs(law.slope) <= -leastSlope;
}
