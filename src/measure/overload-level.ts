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
  /**
   * Set if the waveforms of several steps do not fit one transfer curve: it is only known to be
   * between two steps.
   */
  readonly hasMemory?: true;
}

/** Distortion of a step, as power ratios. */
export interface StepDistortion {
  /** Without the noise's share. */
  readonly power: number;
  readonly stdDev: number;
  /** Standard deviation from noise alone, without distortion. */
  readonly noise: number;
}

/**
 * Harmonics 2 to 10 of a step relative to its fundamental.
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
  /** The one below it, which distorts less. */
  readonly below: AnalyzedStep | undefined;
  /** The one above it; undefined if there is none without converter clipping. */
  readonly beyond: AnalyzedStep | undefined;
}

/**
 * Decibels; a waveform is extrapolated down this far if there is no step below. Further down its
 * harmonics are not sufficient.
 */
export const mostReachDb = 6;

/** Decibels at 95 % from fitting, rounding and the distance to the step. */
const methodDb = 0.009;
const methodPerDb = 0.004;
/**
 * Harmonics up to 20 kHz blunt a corner. How much is estimated from a curve with fewer of them: on
 * soft, hard, one-sided and crossover limiters in closed form, the level is this much further back,
 * within this much at 95 %.
 */
const fewer = [16, 14] as const;
const wayBack = [0.25, 0.2] as const;
const wayDoubt = [0.6, 0.35] as const;
/** Share of uncertainty in how a filter divides before and after the nonlinearity. */
const splitDoubt = 0.5;

/**
 * A path without memory has a smaller share of its harmonics out of phase. Observed on limiters
 * between filters: 5e-6 at most; grid current through a capacitor, fast limiters and slewing leave
 * 1e-4 and up.
 */
const mostOutOfPhase = 5e-5;
const phaseDeviations = 4;

/** Largest disagreement of two steps of one curve, besides noise and blunting: gain, distortion. */
const agreeGainDb = 0.03;
const agreeDistortionDb = 0.5;
/** Distortion up to this share of the tone, far below the limit, always agrees. */
const agreeLeast = 0.0015;
/** Factor on the difference between curves with more and fewer harmonics. */
const agreeBlunt = 1.5;
/**
 * A disagreement of two steps may continue below them up to this many times as fast; beyond that,
 * only the steps themselves bound the limit.
 */
const goesOn = 4;
const mostMemoryDb = 0.15;
/**
 * The error of predicting the step above from the one beyond is small: deep in clipping neither
 * output nor memory of the path depends much on level. Further down it may grow up to this many
 * times as fast (observed on sagging supplies: eight times).
 */
const goesOnBelow = 10;
/**
 * A step below with at least this share of the limit's distortion shows the error of the waveform.
 */
const nearLimit = 0.06;
/** Least steepness of distortion against level, decibels per decibel. */
const leastSlope = 0.5;

/**
 * Level above nominal at which the distortion reaches 1 %, between a step above and a step below.
 * The waveform of the step above gives a transfer curve after a filter, which predicts weaker
 * tones. The prediction is compared with the measured steps: the step beyond must predict the step
 * above, and that one the step below. If they do not, the path has memory (a coupling capacitor
 * charged by a rectifying input, a fast limiter, slewing, a sagging supply), and the level is less
 * certain, at worst only known to be between the two steps.
 *
 * @param filter the path's response at the harmonics; undefined if not known
 *
 * @returns the level, or an upper bound if the waveform does not reach further down
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
  // A step below nominal does not help: it is twenty decibels down.
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
  // The level must be between the steps, within the uncertainty of their distortion.
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
 * Correction of the level from the distortion of the step below: the waveform's error there is
 * assumed to grow in proportion on the way. Valid only for a smooth waveform and a step not far
 * below the limit.
 */
function shiftTowards(curve: FilteredCurve, reachDb: number, below: AnalyzedStep, span: number) {
  const found = computeStepDistortion(below);
  if (!(found.power > nearLimit * overloadLimit) || found.power < 4 * found.stdDev) return none;
  const missedDb = powerToDb(powerBelow(curve, span).power / found.power);
  const share = Math.min(1, reachDb / span);
  const slope = slopeAt(curve, reachDb);
  const db = (share * missedDb) / slope;
  const noise = (share * powerToDb(1 + (2 * found.stdDev) / found.power)) / slope;
  // A curve with kinks errs either way: it is no more certain on the way than at its end.
  return { db, uncertainty: Math.hypot((2 * missedDb) / slope, noise) };
}

function noFilter(count: number): PathFilter {
  return {
    logGains: new Float64Array(count),
    phases: new Float64Array(count),
    variances: new Float64Array(count),
  };
}

/** Whether more of the waveform is out of phase than noise and filters explain. */
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

/** Decibels below its step at which a curve reaches the limit, `most` if it does not. */
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

/** Distortion and fundamental of a tone this many decibels below that of the curve. */
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

/** Error of predicting the next lower step's distortion from a step's waveform, decibels. */
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
 * Shift of a curve along the level to the next lower step, decibels per decibel between them; 0 if
 * they agree.
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

  // Distortion is compared as a voltage, since noise and blunting may make it zero.
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
  const offDb = amplitudeToDb(larger / (larger - off));
  return Math.max(gainShift, offDb / slopeAt(curve, apart)) / apart;
}
