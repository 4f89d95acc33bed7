import { median } from "../dsp/robust.js";
import { isBoundAt } from "../measure/curve-bounds.js";
import { getReadingId } from "../measure/reading-kinds.js";
import { type DeviationRanges, predictHumMixing } from "./cause-kind.js";
import type { PathEvidence } from "./path-evidence.js";

/**
 * From this multiple on, mains harmonics come from a buzz: those of fields and earth currents are
 * mostly lower (common practice).
 */
const fromOrder = 9;
/**
 * A harmonic stands out if it is this far above the siblings', decibels (a guess, like the share).
 */
const leastDb = 4;
/** This share of a comb's harmonics must stand out; single ones do by chance. */
const leastShare = 0.6;

/** Mains harmonics high in the band that are above the siblings'. */
export interface MainsComb {
  /**
   * How far their median is above the siblings', decibels; a lower bound if the siblings' are
   * hidden in noise.
   */
  readonly db: number;
  /** The highest of them, hertz. */
  readonly toHz: number;
}

/**
 * The buzz of short pulses at the mains rate: the harmonics of a dimmer, a rectifier or a switching
 * supply hardly fall with frequency, so those past the ninth stand out together; those of ordinary
 * hum are hidden in the hiss there.
 *
 * @param lines pulses of alternating sign, as in mains currents, give odd harmonics; pulses of the
 *   same sign in both half-waves, as from a rectifier's load, give even ones
 * @returns undefined if there is none, or the siblings' lines were not read
 * @example
 * const x = Array.from({ length: 40 }, (_, i) => 50 * (i + 1));
 * const points = x.map(() => ({ count: 9, median: -130, scale: 1 }));
 * const usual = { curves: { humLines: { x, points } } };
 * const own = (y) => ({ x, y, uncertainty: x.map(() => 0.2), floor: x.map(() => -140) });
 * const buzz = own(x.map((_, i) => (i % 2 === 0 ? -110 : -130)));
 * findMainsComb({ measurement: { curves: { humLines: buzz } }, usual }, "odd"); // { db: 20, toHz: 1950 }
 * findMainsComb({ measurement: { curves: { humLines: buzz } }, usual }, "even"); // undefined
 */
export function findMainsComb(
  { measurement, usual }: Pick<PathEvidence, "measurement" | "usual">,
  lines: "odd" | "even",
): MainsComb | undefined {
  const own = measurement?.curves.humLines;
  const siblings = usual?.curves.humLines?.points;
  if (!own || !siblings) return undefined;
  let counted = 0;
  let toHz = 0;
  const above: number[] = [];
  for (let i = fromOrder - 1; i < own.x.length; i++) {
    const isOdd = i % 2 === 0;
    const scatter = siblings[i];
    if (isOdd !== (lines === "odd") || !scatter) continue;
    counted++;
    const db = own.y[i] - scatter.median;
    if (isBoundAt(own, i) || db < leastDb) continue;
    above.push(db);
    toHz = own.x[i];
  }
  if (counted === 0 || above.length < leastShare * counted) return undefined;
  return { db: median(above), toHz };
}

/**
 * Nats in favour of mains pulses from a comb, a guess: no reading has its upper harmonics alone.
 */
export const combNats = 6;

/**
 * What the pulses do to other readings: their harmonics past the fortieth count as noise, and that
 * noise comes in bursts.
 *
 * @example
 * predictCombMixing().hiss; // [-3, 20]
 * predictCombMixing().burstiness; // [-1, 40]
 */
export function predictCombMixing(): DeviationRanges {
  return { ...predictHumMixing(), [getReadingId("burstiness")]: [-1, 40] };
}
