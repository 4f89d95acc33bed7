import { getOwnUncertainty } from "../../../measure/own-uncertainty.js";
import type { ReadingKind } from "../../../measure/reading-kind.js";
import { findReadingKind, getReadingId, readingKinds } from "../../../measure/reading-kinds.js";
import type { Curve, Measurement } from "../../../measure/types.js";
import { toDifferenceUnit } from "../../../text/level-units.js";
import type { DriftedReading, ReferenceMeasurements } from "./types.js";

/** Standard deviations from which a change is significant. */
const realDeviations = 3.5;
/** Standard deviation of a level after replugging, decibels (common practice, no source). */
const pluggedAgainDb = 0.02;
/** A level that holds within this is of no concern: a fifth of what siblings are granted. */
const leastLevelDb = 0.15;
/** Frequencies at which the response is compared, Hz. */
const frequenciesHz = [20, 63, 250, 4000, 10_000, 18_000];
const leastResponseDb = 0.5;

/** Both turns of a reference path, if measured at both. */
function getBothTurns({
  first,
  last,
}: ReferenceMeasurements): readonly [Measurement, Measurement] | undefined {
  return first && last ? [first, last] : undefined;
}

/**
 * The level's change from the first to the last turn; undefined if a turn is missing.
 *
 * @example
 * const at = (value) => ({
 *   readings: { gain: { value, unit: "dB", uncertainty: 0 } },
 *   absent: {},
 *   curves: {},
 * });
 * findLevelChange({ into: "bus", first: at(0), last: at(-0.5) }).change; // -0.5
 * findLevelChange({ into: "bus", first: at(0) }); // undefined
 */
export function findLevelChange(reference: ReferenceMeasurements): DriftedReading | undefined {
  const both = getBothTurns(reference);
  return both && differ(both, getReadingId("gain"), pluggedAgainDb);
}

/**
 * Whether a level changed significantly and by a relevant amount.
 *
 * @example
 * const held = { reading: "gain", first: 0, last: 0.1, change: 0.1, uncertainty: 0.04, unit: "dB" };
 * isLevelMoved(held); // false
 * isLevelMoved({ ...held, last: 0.5, change: 0.5 }); // true
 */
export function isLevelMoved({ change, uncertainty }: DriftedReading): boolean {
  return Math.abs(change) >= Math.max(leastLevelDb, (realDeviations * uncertainty) / 2);
}

/**
 * Readings other than level and gain, and the response, that changed from the first to the last
 * turn.
 *
 * @example
 * const at = (noise) => ({
 *   readings: {
 *     gain: { value: 0, unit: "dB", uncertainty: 0.01 },
 *     noise: { value: noise, unit: "dBFS", uncertainty: 0.2 },
 *   },
 *   absent: {},
 *   curves: {},
 * });
 * const drifted = findDriftedReadings({ into: "bus", first: at(-90), last: at(-80) });
 * drifted.map(({ reading, change }) => [reading, change]); // [["noise", 10]]
 */
export function findDriftedReadings(reference: ReferenceMeasurements): readonly DriftedReading[] {
  const both = getBothTurns(reference);
  if (both === undefined) return [];
  const levelDb = findLevelChange(reference)?.change ?? 0;
  const readings = readingKinds.flatMap((kind) => {
    if (kind.harm === "none" || kind.aspect === "gain") return [];
    const found = differ(both, kind.id, kind.least / 4);
    if (found === undefined) return [];
    // Readings that only followed the level are not reported separately.
    const follows = Math.abs(levelDb) >= leastLevelDb && isFollowing(kind, found.change, levelDb);
    const size = Math.abs(found.change) - (follows ? followsDb(kind, levelDb) : 0);
    if (size < kind.least) return [];
    return size >= (realDeviations * found.uncertainty) / 2 ? [found] : [];
  });
  const curves = both.map(({ curves: { response } }) => response);
  const response = frequenciesHz.flatMap((atHz): DriftedReading[] => {
    const [a, b] = curves.map((curve) => curve && readCurve(curve, atHz));
    if (a === undefined || b === undefined) return [];
    const change = b.value - a.value;
    const uncertainty = Math.hypot(a.uncertainty, b.uncertainty, 2 * pluggedAgainDb);
    const isReal =
      Math.abs(change) >= Math.max(leastResponseDb, (realDeviations * uncertainty) / 2);
    const ends = { first: a.value, last: b.value, change, uncertainty };
    return isReal ? [{ reading: "response", ...ends, unit: "dB", atHz }] : [];
  });
  const most = response.reduce<readonly DriftedReading[]>(
    (best, one) => (Math.abs(one.change) > Math.abs(best[0]?.change ?? 0) ? [one] : best),
    [],
  );
  return [...withoutRepeats(readings), ...most];
}

/** Whether a reading moved in the direction in which the level moves it. */
function isFollowing({ harm }: ReadingKind, change: number, levelDb: number): boolean {
  return harm === "down" ? change * levelDb < 0 : change * levelDb > 0;
}

/** Decibels by which a change of the level may move a reading: harmonics by twice as much. */
function followsDb({ aspect }: ReadingKind, levelDb: number): number {
  return (aspect === "noise" || aspect === "hum" ? 1 : 2) * Math.abs(levelDb);
}

/** Hum that counts in the noise, and harmonics in their sum, say nothing new. */
function withoutRepeats(found: readonly DriftedReading[]): readonly DriftedReading[] {
  const ids = new Set(found.map(({ reading }) => reading));
  return found.filter(({ reading }) => {
    const kind = findReadingKind(reading);
    return !kind?.detail && !(kind?.repeats !== undefined && ids.has(kind.repeats));
  });
}

function differ(
  [first, last]: readonly [Measurement, Measurement],
  id: string,
  granted: number,
): DriftedReading | undefined {
  const [a, b] = [first.readings[id], last.readings[id]];
  if (a === undefined || b === undefined || a.unit !== b.unit) return undefined;
  // Two bounds, or a fall to a bound, do not give the size of a change.
  if (b.bound !== undefined || (a.bound !== undefined && b.value <= a.value)) return undefined;
  const own = [a, b].map(getOwnUncertainty);
  return {
    reading: id,
    first: a.value,
    last: b.value,
    change: b.value - a.value,
    uncertainty: Math.hypot(...own, 2 * granted),
    unit: toDifferenceUnit(a.unit),
  };
}

function readCurve({ x, y, uncertainty }: Curve, hz: number) {
  if (x.length === 0) return undefined;
  const apart = (one: number) => Math.abs(Math.log(one / hz));
  const at = x.reduce((best, one, i) => (apart(one) < apart(x[best]) ? i : best), 0);
  return apart(x[at]) > 0.1 ? undefined : { value: y[at], uncertainty: uncertainty[at] };
}
