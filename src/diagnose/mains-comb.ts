import { median } from "../dsp/robust.js";
import { isBoundAt } from "../measure/curve-bounds.js";
import { getReadingId } from "../measure/reading-kinds.js";
import { type DeviationRanges, predictHumMixing } from "./cause-kind.js";
import type { PathEvidence } from "./path-evidence.js";

/**
 * From this multiple of the mains on its lines are a buzz's: fields and earths have most of theirs
 * below (common practice).
 */
const fromOrder = 9;
/** A line stands out of the siblings' by so much at least, decibels (a guess, as the share is). */
const leastDb = 4;
/** So large a share of the lines of a comb stand out; chance lifts one or another. */
const leastShare = 0.6;

/** Lines of the mains far up the band that stand above the siblings'. */
export interface MainsComb {
  /** How far their middle stands above the siblings', decibels: at least, where those hide theirs. */
  readonly db: number;
  /** The highest of them, hertz. */
  readonly toHz: number;
}

/**
 * The buzz of short pulses at the rate of the mains: a dimmer, a rectifier or a switching supply
 * makes lines that hardly fall with frequency, so those past the ninth stand out together, where
 * hum leaves them to the hiss.
 *
 * @param lines pulses of alternate sign, as currents of the mains have, make odd lines; pulses alike
 *   in both half-waves, as a rectifier's load has, make even ones
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
 * Nats that a comb speaks for pulses of the mains, a guess: no reading holds its upper lines by
 * themselves.
 */
export const combNats = 6;

/**
 * What the pulses do to other readings: their lines past the fortieth are noise to them, and noise that
 * comes in bursts.
 *
 * @example
 * predictCombMixing().hiss; // [-3, 20]
 * predictCombMixing().burstiness; // [-1, 40]
 */
export function predictCombMixing(): DeviationRanges {
  return { ...predictHumMixing(), [getReadingId("burstiness")]: [-1, 40] };
}
