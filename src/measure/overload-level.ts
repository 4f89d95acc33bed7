import { amplitudeToDb, powerToDb } from "../dsp/decibels.js";
import {
  computeWeakerTone,
  type FilteredCurve,
  fitFilteredCurve,
  type SharesBehind,
} from "../dsp/transfer.js";
import type { AnalyzedStep } from "./level-step-analysis.js";
import type { PathFilter } from "./path-filter.js";

/** Where overload begins: 1 % of total harmonic distortion, as a power ratio. */
export const overloadLimit = 1e-4;
const highestHarmonic = 10;

/** A level above nominal, decibels, with its expanded uncertainty (95 %). */
export interface OverloadLevel {
  readonly db: number;
  readonly uncertainty: number;
  /** Set where the waves of several steps are not those of one curve: it lies between two steps. */
  readonly hasMemory?: true;
}

/** Distortion of a step, as power ratios. */
export interface StepDistortion {
  /** The noise's share taken off. */
  readonly power: number;
  readonly stdDev: number;
  /** The deviation that noise would have without any distortion. */
  readonly noise: number;
}

/**
 * Harmonics 2 to 10 of a step against its fundamental.
 *
 * @example
 * const step = (aboveNominalDb, ...amplitudes) => ({
 *   aboveNominalDb,
 *   amplitudes: Float64Array.from(amplitudes),
 *   phases: new Float64Array(amplitudes.length),
 *   variances: new Float64Array(amplitudes.length),
 *   level: { amplitude: amplitudes[0], variance: 0 },
 * });
 *
 * // A third harmonic of a hundredth: 1 %, a power of 1e-4.
 * computeStepDistortion(step(12, 1, 0, 0.01)).power; // 0.0001
 */
export function computeStepDistortion({ amplitudes, variances }: AnalyzedStep): StepDistortion {
  let power = 0;
  let spread = 0;
  let alone = 0;
  for (let k = 1; k < Math.min(highestHarmonic, amplitudes.length); k++) {
    const clear = Math.max(0, amplitudes[k] ** 2 - 2 * variances[k]);
    power += amplitudes[k] ** 2 - 2 * variances[k];
    // E[a²] = A² + 2v, var[a²] = 4·A²·v + 4·v² for an amplitude fitted in two quadratures
    spread += 4 * clear * variances[k] + 4 * variances[k] ** 2;
    alone += 4 * variances[k] ** 2;
  }
  const fundamental = amplitudes[0] ** 2;
  return {
    power: Math.max(0, power) / fundamental,
    stdDev: Math.sqrt(spread) / fundamental,
    noise: Math.sqrt(alone) / fundamental,
  };
}

/** The step that distorts by 1 % or more, with its neighbours. */
export interface OverloadedSteps {
  readonly above: AnalyzedStep;
  /** The one below it, which does not distort so much. */
  readonly below: AnalyzedStep | undefined;
  /** The one above it; undefined if there is none that the converter held. */
  readonly beyond: AnalyzedStep | undefined;
}

/**
 * A wave is read so far down, decibels, where no step below says where to stop. Further down the
 * harmonics that it is drawn from leave too much open.
 */
export const mostReachDb = 6;

/** What fitting, rounding and the way to the step add, decibels at 95 %. */
const methodDb = 0.009;
const methodPerDb = 0.004;
/**
 * Harmonics up to 20 kHz draw a corner bluntly. How bluntly, a curve drawn from fewer of them shows:
 * seen on soft, hard, one-sided and crossing-over limiters in closed form, the level lies so much of
 * the way back, and within so much of it at 95 %.
 */
const fewer = [16, 14] as const;
const wayBack = [0.25, 0.2] as const;
const wayDoubt = [0.6, 0.35] as const;
/** A filter that is split between before and behind the bend may be split otherwise: this share. */
const splitDoubt = 0.5;

/**
 * In a path without memory less of its harmonics is out of phase than this. Seen on limiters between
 * filters: 5e-6 at most; grid current through a capacitor, fast limiters and slewing leave 1e-4 and
 * up.
 */
const mostOutOfPhase = 5e-5;
const phaseDeviations = 4;

/** How far two steps of one curve may disagree beside noise and bluntness: gain, distortion. */
const agreeGainDb = 0.03;
const agreeDistortionDb = 0.5;
/** And distortion of this share of the tone, far below the limit, whatever the decibels. */
const agreeLeast = 0.0015;
/** Times the difference between curves of more and of fewer harmonics. */
const agreeBlunt = 1.5;
/**
 * What two steps disagree about goes on below them, up to this many times as fast: beyond so much, in
 * decibels, only the steps themselves say where the limit lies.
 */
const goesOn = 4;
const mostMemoryDb = 0.15;
/**
 * What the step beyond gets wrong of the step above is little: deep in the clipping what comes out
 * hardly changes with the level, nor does what the path remembers of it. Further down it goes on up to
 * so many times as fast (seen on supplies that give way, eight times).
 */
const goesOnBelow = 10;
/** A step below whose distortion is this share of the limit or more says what the wave misses. */
const nearLimit = 0.06;
/** Least steepness of distortion against level, decibels per decibel. */
const leastSlope = 0.5;

/**
 * Level above nominal at which the distortion reaches 1 %, between a step above and a step below.
 *
 * The wave of the step above is that of a transfer curve behind a filter; the curve shows what a
 * weaker tone gives. The result is compared with the measured steps on both sides: the step beyond
 * must predict the step above, and that the step below. Where they do not, the path has memory (a
 * coupling capacitor charged by a rectifying input, a fast limiter, slewing, a supply that gives
 * way), and the level is known less well, at worst no better than to lie between the two steps.
 *
 * @param filter the path's response at the harmonics; undefined where it is not known
 * @returns the level, or what it lies below where it cannot be told further down
 * @example
 * const step = (aboveNominalDb, ...amplitudes) => ({
 *   aboveNominalDb,
 *   amplitudes: Float64Array.from(amplitudes),
 *   phases: new Float64Array(amplitudes.length),
 *   variances: new Float64Array(amplitudes.length),
 *   level: { amplitude: amplitudes[0], variance: 0 },
 * });
 *
 * // x − k·x³: a third harmonic of 2 % at +12 dB is 1 % where k·x² is 0.0388 instead of 0.0755.
 * const found = findOverloadLevel({ above: step(12, 1, 0, 0.02), below: undefined, beyond: undefined });
 * Math.abs(found.db - 9.11) < found.uncertainty; // true
 */
export function findOverloadLevel(
  { above, below, beyond }: OverloadedSteps,
  pathFilter: PathFilter | undefined,
): OverloadLevel | { readonly belowDb: number } {
  const filter = pathFilter ?? noFilter(above.amplitudes.length);
  const curve = fitFilteredCurve(above.amplitudes, above.phases, filter);
  const topDb = above.aboveNominalDb;
  // A step below nominal says where to stop as little as none: it lies twenty decibels down.
  const floorDb = below && below.aboveNominalDb >= 0 ? below.aboveNominalDb : undefined;
  const span = floorDb === undefined ? mostReachDb : topDb - floorDb;
  const between = (downTo: number) =>
    floorDb === undefined
      ? { belowDb: downTo }
      : ({ db: (topDb + floorDb) / 2, uncertainty: span / 2, hasMemory: true } as const);
  if (pathFilter && isOutOfPhase(curve, above, pathFilter)) return between(topDb);

  const most = floorDb === undefined ? mostReachDb : span + 1;
  const whole = reachOf(curve, most);
  if (whole >= most - 0.01) return between(topDb - most);
  const [some, few] = fewer.map((degree) => whole - reachOf(curve, most, degree));
  const slope = slopeAt(curve, whole);
  const { power, stdDev } = computeStepDistortion(above);
  const otherwise = [0, 1].map((share) => {
    const shares = { ...curve.behind, high: share };
    const split = fitFilteredCurve(above.amplitudes, above.phases, filter, shares);
    return Math.abs(whole - reachOf(split, most));
  });
  const method = methodDb + methodPerDb * whole;
  const blunt = Math.hypot(wayDoubt[0] * some, wayDoubt[1] * few);
  const isSmooth = blunt < method;
  const towards =
    isSmooth && below && floorDb !== undefined ? shiftTowards(curve, whole, below, span) : none;
  const missed = isSmooth && beyond ? missedBy(beyond, above, filter, curve.behind) : 0;
  const beyondDb = (2 * missed) / slope;
  const reachDb = whole + wayBack[0] * some + wayBack[1] * few - towards.db;
  const noiseDb = powerToDb(1 + (2 * stdDev) / power);
  const own = Math.hypot(
    method,
    blunt,
    noiseDb / slope,
    splitDoubt * Math.max(...otherwise),
    towards.uncertainty,
    beyondDb,
  );
  const shift = Math.max(
    beyond === undefined ? 0 : shiftPerDb(beyond, above, filter, curve.behind),
    below === undefined || floorDb === undefined
      ? 0
      : shiftPerDb(above, below, filter, curve.behind),
  );
  const memory = goesOn * shift * Math.max(0, reachDb);
  if (memory > mostMemoryDb) return between(topDb);
  if (beyond) {
    const missedDb = Math.max(0, missed - noiseDb) / slopeAt(curve, 0);
    const drift = (goesOnBelow * missedDb * reachDb) / (beyond.aboveNominalDb - topDb);
    if (drift > mostMemoryDb) return between(topDb);
  }
  const uncertainty = Math.hypot(own, memory);
  if (floorDb === undefined) return { db: topDb - reachDb, uncertainty };
  // Between the steps it lies whatever the wave says, as surely as their own distortion is known.
  const atFloor = below ? (2 * computeStepDistortion(below).stdDev) / overloadLimit : 0;
  const lowest = floorDb - Math.hypot(methodDb, powerToDb(1 + atFloor) / slope);
  const highest = topDb + Math.hypot(methodDb, noiseDb / slope);
  const low = Math.max(lowest, topDb - reachDb - uncertainty);
  const high = Math.min(highest, topDb - reachDb + uncertainty);
  if (!(low < high) || high - low > span) return between(topDb);
  return { db: (low + high) / 2, uncertainty: (high - low) / 2 };
}

const none = { db: 0, uncertainty: 0 } as const;

/**
 * How much further up the limit is reached than the wave says, by what the step below distorts: what
 * the wave misses there it misses on the way, in proportion. Only a smooth wave does so, and only a
 * step not far below the limit says anything about it.
 */
function shiftTowards(curve: FilteredCurve, reachDb: number, below: AnalyzedStep, span: number) {
  const found = computeStepDistortion(below);
  if (!(found.power > nearLimit * overloadLimit) || found.power < 4 * found.stdDev) return none;
  const missedDb = powerToDb(powerBelow(curve, span).power / found.power);
  const share = Math.min(1, reachDb / span);
  const slope = slopeAt(curve, reachDb);
  const db = (share * missedDb) / slope;
  const noise = (share * powerToDb(1 + (2 * found.stdDev) / found.power)) / slope;
  // A curve with kinks misses now this way, now that: it is no surer on the way than at its end.
  return { db, uncertainty: Math.hypot((2 * missedDb) / slope, noise) };
}

function noFilter(count: number): PathFilter {
  return {
    logGains: new Float64Array(count),
    phases: new Float64Array(count),
    variances: new Float64Array(count),
  };
}

/** Whether more of the wave is out of phase than noise and filters leave. */
function isOutOfPhase(curve: FilteredCurve, step: AnalyzedStep, filter: PathFilter): boolean {
  const { amplitudes, variances } = step;
  const tone = variances[0] / amplitudes[0] ** 2 + curve.behind.high ** 2 * filter.variances[0];
  let noise = 0;
  let all = 0;
  for (let k = 1; k < Math.min(highestHarmonic, amplitudes.length); k++) {
    const power = amplitudes[k] ** 2;
    const turned = (k + 1) ** 2 * tone + curve.behind.high ** 2 * filter.variances[k];
    noise += variances[k] + power * turned;
    all += power;
  }
  return curve.outOfPhase > mostOutOfPhase + (phaseDeviations * noise) / all;
}

/** Decibels below its step at which a curve reaches the limit, `most` where it does not. */
function reachOf(curve: FilteredCurve, most: number, degree?: number): number {
  let near = 0;
  let far = most;
  for (let pass = 0; pass < 30; pass++) {
    const middle = (near + far) / 2;
    if (powerBelow(curve, middle, degree).power >= overloadLimit) near = middle;
    else far = middle;
  }
  return (near + far) / 2;
}

/** Distortion of a tone so many decibels below the curve's own, and its fundamental. */
function powerBelow(curve: FilteredCurve, belowDb: number, degree?: number) {
  const ratio = 10 ** (-belowDb / 20);
  const tones = computeWeakerTone(curve, ratio, highestHarmonic, degree);
  let power = 0;
  for (let k = 1; k < tones.length; k++) power += tones[k] ** 2;
  return { power: power / tones[0] ** 2, fundamental: Math.abs(tones[0]) };
}

function slopeAt(curve: FilteredCurve, belowDb: number): number {
  const here = powerToDb(powerBelow(curve, belowDb).power);
  const there = powerToDb(powerBelow(curve, belowDb + 0.1).power);
  return Math.max(leastSlope, (here - there) / 0.1);
}

/** By how much the wave of one step misses the distortion of the next one down, decibels. */
function missedBy(
  upper: AnalyzedStep,
  lower: AnalyzedStep,
  filter: PathFilter,
  behind: SharesBehind,
): number {
  const curve = fitFilteredCurve(upper.amplitudes, upper.phases, filter, behind);
  const foreseen = powerBelow(curve, upper.aboveNominalDb - lower.aboveNominalDb);
  return powerToDb(foreseen.power / computeStepDistortion(lower).power);
}

/**
 * How far the curve of one step has moved along the level by the next step down, decibels for each
 * decibel between the two; 0 where they agree.
 */
function shiftPerDb(
  upper: AnalyzedStep,
  lower: AnalyzedStep,
  filter: PathFilter,
  behind: SharesBehind,
): number {
  const curve = fitFilteredCurve(upper.amplitudes, upper.phases, filter, behind);
  const apart = upper.aboveNominalDb - lower.aboveNominalDb;
  const foreseen = powerBelow(curve, apart);
  const [some, few] = fewer.map((degree) => powerBelow(curve, apart, degree));
  const found = computeStepDistortion(lower);

  const gainDb = Math.abs(amplitudeToDb(foreseen.fundamental / lower.amplitudes[0]));
  const noiseDb = amplitudeToDb(1 + (2 * Math.sqrt(lower.variances[0])) / lower.amplitudes[0]);
  const bluntDb = Math.max(
    Math.abs(amplitudeToDb(foreseen.fundamental / some.fundamental)),
    Math.abs(amplitudeToDb(foreseen.fundamental / few.fundamental)),
  );
  const gainShift = gainDb > agreeGainDb + noiseDb + agreeBlunt * bluntDb ? gainDb : 0;

  // Distortion is compared as a voltage: neither noise nor bluntness need leave any of it.
  const wave = Math.sqrt(foreseen.power);
  const heard = Math.sqrt(found.power);
  const doubt =
    agreeLeast +
    (agreeBlunt / 2) * Math.abs(wave - Math.sqrt(few.power)) +
    (agreeBlunt / 2) * Math.abs(wave - Math.sqrt(some.power)) +
    Math.min(Math.sqrt(2 * found.stdDev), (2 * found.stdDev) / Math.max(heard, 1e-9)) +
    (10 ** (agreeDistortionDb / 20) - 1) * Math.max(wave, heard);
  const off = Math.max(0, Math.abs(wave - heard) - doubt);
  const larger = Math.max(wave, heard);
  const offDb = off > 0 ? amplitudeToDb(larger / Math.max(larger - off, larger / 100)) : 0;
  return Math.max(gainShift, offDb / slopeAt(curve, apart)) / apart;
}
