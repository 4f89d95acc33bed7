import { dbToPower } from "../dsp/decibels.js";
import { getReadingId } from "../measure/reading-kinds.js";
import { lowMovedDb, lowSustained, movedTimes } from "../rank/responses.js";
import type { Evidence } from "./evidence.js";
import { bandFromHz, type PathEvidence } from "./path-evidence.js";
import { createLostCapacitance, type FittedShape, fitLostCapacitance } from "./shapes.js";

/** What the low end shows about a capacitor that has lost some of its capacitance. */
export interface LostCapacitance {
  readonly fit: FittedShape;
  /** The corner of this capacitor alone, as it is now, hertz. */
  readonly cornerHz: number;
  /**
   * Share of the siblings' capacitance that is left, and its range; absent without their corner.
   */
  readonly left?: { readonly share: number; readonly from: number; readonly until: number };
  /** For the cause. */
  readonly evidence: readonly Evidence[];
}

/**
 * A measured corner is that of all coupling capacitors in series: a single one has that corner,
 * each of several equal ones a fraction of it (far above them, corners in cascade add by their
 * squares, circuit theory). One that failed had between half of it and all of it; one further below
 * is hidden by the others.
 */
const alone = { least: 0.5, likely: Math.SQRT1_2, most: 1 } as const;
/** A loss at 20 Hz becomes audible on low instruments from here on, decibels (a guess). */
const audibleDb = 1;

/**
 * How much of a capacitor is left, from how far its corner has moved: a first-order corner is
 * inversely proportional to the capacitance (1/(2πRC), circuit theory).
 *
 * @returns undefined without a response to fit
 * @example
 * const x = buildOctaveGrid(24, 20, 20_000);
 * // A healthy corner of 10 Hz that went up to 100 Hz: 10·lg((f² + 10²)/(f² + 100²)), 0 at 1 kHz.
 * const lost = (hz) => powerToDb((hz ** 2 + 10 ** 2) / (hz ** 2 + 100 ** 2));
 * const spread = x.map(() => 0.15);
 * const response = { x, y: x.map((hz) => lost(hz) - lost(1000)), spread };
 * const usual = { readings: { cornerLow: { count: 20, median: 10, scale: 0.1 } } };
 * Math.abs(findLostCapacitance({ response, usual }).cornerHz - 100) < 5; // true
 * findLostCapacitance({}); // undefined
 */
export function findLostCapacitance(path: PathEvidence): LostCapacitance | undefined {
  const { response } = path;
  if (!response) return undefined;
  const usual = path.usual?.readings[getReadingId("lower-corner")]?.median;
  const known = usual !== undefined && usual > 0 ? usual : undefined;
  // In a chain the one that failed had half of it, in squares: between a single one and three equal
  // ones.
  const before = known === undefined ? 0 : alone.likely * known;
  const fit = fitLostCapacitance(response, before);
  const cornerHz = Math.hypot(before, fit.hz);
  if (known === undefined || fit.hz < known / 2) return { fit, cornerHz, evidence: [] };
  const shareOf = (part: number) => (part * known) / Math.hypot(part * known, fit.hz);
  const left = {
    share: shareOf(alone.likely),
    from: shareOf(alone.least),
    until: shareOf(alone.most),
  };
  const evidence = [toEvidence(fit, known, left), ...listUnseen(path, known)];
  return { fit, cornerHz, left, evidence };
}

function toEvidence(
  { shape }: FittedShape,
  usualHz: number,
  left: NonNullable<LostCapacitance["left"]>,
): Evidence {
  const lost20HzDb = shape(bandFromHz);
  const seen = { code: "capacitance-left", ...left, usualHz, lost20HzDb } as const;
  if (lost20HzDb < -audibleDb) return seen;
  return { ...seen, heardFrom: shareWhereHeard(alone.likely * usualHz) };
}

/** The share at which the loss at 20 Hz becomes audible. */
function shareWhereHeard(soundHz: number): number {
  let moved = soundHz;
  while (createLostCapacitance(moved, soundHz)(bandFromHz) > -audibleDb) moved *= 1.02;
  return soundHz / Math.hypot(soundHz, moved);
}

/** A round should see a capacitor with this share of its value left. */
const quarter = 4;
/** A deviation of this many spreads of healthy siblings counts as seen. */
const seenSpreads = 4;

/**
 * The lowest healthy corner at which a capacitor with a quarter left is still seen against its
 * siblings' scatter: some points of the response must fall, and the corner of the chain rise, far
 * enough to count as a difference.
 *
 * @example
 * const response = { x: [5, 20], y: [0, 0], spread: [0.1, 0.1] };
 * // 0.4 dB at 5 Hz: a corner moved to √((10^0.04 − 1)·(5² + 1²)) Hz, √15 above that with a quarter left.
 * findSeenFromHz({ response }, 1).toFixed(2); // "0.41"
 * // A chain of 5 Hz goes up to 1.6 times that by √(1.6² − 1)·5 Hz.
 * findSeenFromHz({ response }, 5).toFixed(2); // "1.61"
 * findSeenFromHz({}, 5); // undefined
 */
export function findSeenFromHz(path: PathEvidence, usualHz: number): number | undefined {
  const { response } = path;
  const below = response?.x.filter((hz) => hz < bandFromHz).length ?? 0;
  if (!response || below === 0) return undefined;
  const at = Math.min(lowSustained, below) - 1;
  const fallDb = Math.max(lowMovedDb, seenSpreads * response.spread[at]);
  const fallen = Math.sqrt((dbToPower(fallDb) - 1) * (response.x[at] ** 2 + usualHz ** 2));
  const moved = Math.sqrt(movedTimes ** 2 - 1) * usualHz;
  return Math.max(fallen, moved) / Math.sqrt(quarter ** 2 - 1);
}

function listUnseen(path: PathEvidence, usualHz: number): readonly Evidence[] {
  const belowHz = findSeenFromHz(path, usualHz);
  return belowHz === undefined ? [] : [{ code: "capacitors-unseen", belowHz }];
}
