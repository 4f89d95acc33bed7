import { amplitudeToDb, dbToAmplitude, dbToPower, powerToDb } from "../../dsp/decibels.js";
import { boundDb, isBound } from "../is-bound.js";
import type { OwnShare } from "../reading-kind.js";
import { computeCoverageFactor } from "../readings/level.js";
import type { Reading } from "../types.js";
import type { WordNoise } from "./word-noise.js";

/** A reading within 3 dB of the interface's says more about the interface than about the path. */
const limitedPower = 2;
const limitedAmplitude = Math.SQRT2;
/** A difference of powers is an estimate if its uncertainty is at most this share, else a bound. */
const mostReach = 2 / 3;
/** Standard deviations that contain 95 % of a normal distribution, two-sided and one-sided. */
const bothSides = 2;
const oneSide = (2 * 1.645) / 1.96;
/** How fast only one side counts as the limit grows; within 0.02 of the integral. */
const soonOneSide = 3.9;
/**
 * Noise power, as a share of triangular dither, that may be lost in quantising: without dither,
 * noise of 0.19 steps r.m.s. seldom reaches half a step. The maximum of σ² − 2·Σ(2k + 1)·Q((k +
 * ½)/σ), 0.0277 steps squared.
 */
const hiddenShare = 0.111;
/** Share of a full turn's cosines within ±this: 95 % (arcsine distribution, JCGM 100, 4.3.5 note). */
const arcsine95 = Math.sin((0.95 * Math.PI) / 2);

/** Further data for removing the interface's share from a reading. */
export interface InterfaceContext {
  /**
   * How much more of the interface's output comes back through the path than through the
   * loopback, as a power ratio. Nobody knows how the interface's noise divides between its output
   * and its input, so its share lies anywhere between the two cases: a limit, no random error.
   */
  readonly outputShare: number;
  /** The steady part of the reading, line by line: each adds as voltage with its own phase. */
  readonly steady?: readonly SteadyPart[];
  /**
   * The most that quantisation in round and loopback adds, if their word lengths differ: also
   * limits.
   */
  readonly words?: WordNoise | undefined;
  /** Decibels by which the interface's share may have risen with the level; 0 when absent. */
  readonly riseDb?: number;
}

/** A line as measured and that of the interface alone, as powers in the unit of the reading. */
export interface SteadyPart {
  readonly heard: number;
  readonly own: number;
}

/**
 * Removes the interface's share from a reading as far as justified, and widens the uncertainty by
 * what remains. - Powers are subtracted. If the difference is smaller than the uncertainty of both
 * powers, the value is an upper bound. Steady lines on both sides add with unknown phases: each
 * separately, so that of many some cancel and some add. - Voltages of unknown phase are not
 * subtracted: the true value is anywhere between difference and sum, so the value stays and the
 * uncertainty covers both. Within 3 dB of the interface's value only the sum remains, as an upper
 * bound. A sum of lines known one by one is again treated as a power.
 *
 * @param heard as measured through the interface; decibels for `power` and `phase`
 * @param own the same reading of the loopback, same unit
 * @example
 * const of = (value) => ({ value, unit: "dBFS", uncertainty: 0.1 });
 * // Twice the interface's own power: as much again is the path's, 3 dB below what was heard.
 * const own = subtractInterface(of(-87), of(-97), { adds: "power" }, { outputShare: 1 });
 * own.value.toFixed(2); // "-87.46"
 */
export function subtractInterface(
  heard: Reading,
  own: Reading,
  share: OwnShare,
  around: InterfaceContext,
): Reading {
  if (share.adds === "difference") return difference(heard, own);
  if (share.adds === "phase") {
    const byLine = share.lines !== undefined && (around.steady?.length ?? 0) > 0;
    // A bound has no single lines that could cancel.
    if (!byLine || isBound(heard)) return besidePhase(heard, own, around.riseDb ?? 0);
  }
  return withoutPower(heard, own, around);
}

function difference(heard: Reading, own: Reading): Reading {
  return {
    ...heard,
    value: heard.value - own.value,
    uncertainty: Math.hypot(heard.uncertainty, own.uncertainty),
    common: Math.hypot(heard.common ?? 0, own.uncertainty),
  };
}

function withoutPower(heard: Reading, own: Reading, around: InterfaceContext): Reading {
  if (isBound(heard)) return heard;
  const total = powerOf(heard);
  // If the word length limited the loopback's noise, it is only a bound of the interface's.
  const isOwnCovered = own.limitedBy === "interface" && heard.limitedBy !== "interface";
  const mine = isOwnCovered && !around.words ? { ...own, bound: "upper" as const } : own;
  const share = withWords(ownPower(mine, around), around.words?.heard ?? 0);
  const random = Math.hypot(total.stdDev, share.stdDev);
  const lines = around.steady ?? [];
  const cross = crossOf(lines, random);
  const stdDev = Math.hypot(random, cross.stdDev);
  const left = total.power - share.power;
  // A reading limited by the recording's word length remains so: a loopback with longer words does
  // not show it.
  const limited = heard.limitedBy === "interface" || total.power <= limitedPower * share.power;
  const reach = reachOf(share.limit, stdDev);
  if (reach >= mostReach * left) {
    const most = crossAtMost(lines);
    const beside = Math.hypot(bothSides * random, most);
    return {
      value: powerToDb(Math.max(-most, left) + share.limit + beside),
      unit: heard.unit,
      uncertainty: boundDb,
      limitedBy: "interface",
      bound: "upper",
    };
  }
  const common = Math.min(reach, reachOf(share.limit, share.stdDev));
  return {
    ...between(left + cross.shift - reach, left + cross.shift + reach),
    unit: heard.unit,
    common: between(left - common, left + common).uncertainty,
    ...(limited ? { limitedBy: "interface" } : {}),
  };
}

/** A reading in decibels from an interval of powers that is not symmetric about the difference. */
function between(least: number, most: number) {
  const [low, high] = [powerToDb(least), powerToDb(most)];
  return { value: (low + high) / 2, uncertainty: (high - low) / 2 };
}

/**
 * How far the truth may lie off: a limit, and beyond it what is random, so that 95 % hold wherever
 * within the limit the truth is. A quadratic sum holds that only over many truths spread evenly, and the
 * interface of one desk is always the same (JCGM 100, F.2.4.5: what is not corrected is added).
 *
 * @param limit half of the range that nothing is known within
 * @param deviation standard deviation of what is random
 */
function reachOf(limit: number, stdDev: number): number {
  if (!(stdDev > 0)) return limit;
  const share = Math.exp((-soonOneSide * limit) / stdDev);
  return limit + (oneSide + (bothSides - oneSide) * share) * stdDev;
}

/** Power and its standard deviation from a value in decibels and its uncertainty. */
function powerOf({ value, uncertainty }: Reading): { power: number; stdDev: number } {
  const power = dbToPower(value);
  return { power, stdDev: (power * (dbToPower(uncertainty) - 1)) / 2 };
}

/**
 * The interface's share: the middle of all divisions between output and input, with and without its
 * quantisation noise, and the limit.
 */
function ownPower(own: Reading, { outputShare, words }: InterfaceContext) {
  const { power, stdDev } = powerOf(own);
  // For a bound only the range is known.
  if (isBound(own)) return { power: power / 2, stdDev: 0, limit: power / 2 };
  const most = (power + hiddenShare * (words?.own ?? 0)) * Math.max(1, outputShare);
  const least = Math.max(0, power - (words?.own ?? 0)) * Math.min(1, outputShare);
  return {
    power: (most + least) / 2,
    stdDev: (stdDev * (1 + outputShare)) / 2,
    limit: (most - least) / 2,
  };
}

/** Quantisation noise of the round's recording also does not belong to the path. */
function withWords(share: ReturnType<typeof ownPower>, most: number) {
  const [middle, limit] = [(1 - hiddenShare) / 2, (1 + hiddenShare) / 2];
  return { ...share, power: share.power + middle * most, limit: share.limit + limit * most };
}

/**
 * Uncertainty from the unknown phases of lines: |a + b|² = a² + b² + 2ab·cos φ, and 2a²b² is the
 * variance of the last term for any phase. If one line dominates, 95 % lie within fewer deviations
 * than for a normal distribution. If lines cancel, less is measured and the deviation seems
 * smaller; so the interval of k deviations is higher by k²·b²: for one line it is from (h − b)² to
 * (h + b)², not around h² − b².
 *
 * @param random standard deviation of everything else, which is normal
 */
function crossOf(lines: readonly SteadyPart[], random: number) {
  const variances = lines.map(({ heard, own }) => 2 * heard * own);
  const variance = variances.reduce((sum, one) => sum + one, 0);
  if (!(variance > 0)) return { stdDev: 0, shift: 0 };
  const share = Math.max(...variances) / (variance + random ** 2);
  const factor = computeCoverageFactor(share);
  const heard = lines.reduce((sum, line) => sum + line.heard, 0);
  return {
    stdDev: (Math.sqrt(variance) * factor) / computeCoverageFactor(0),
    shift: (factor ** 2 * variance) / (2 * heard),
  };
}

/**
 * Largest excess of the path's lines over the difference of powers: the voltage of a line is at
 * most the sum of the measured one and the interface's, (a + b)² − (a² − b²).
 */
function crossAtMost(lines: readonly SteadyPart[]): number {
  return Math.hypot(...lines.map(({ heard, own }) => 2 * Math.sqrt(heard * own) + 2 * own));
}

function besidePhase(heard: Reading, own: Reading, riseDb: number): Reading {
  const amplitude = dbToAmplitude(heard.value);
  const ownAmplitude = dbToAmplitude(own.value + riseDb);
  if (isBound(heard)) {
    // Both are below the noise: the interface's bound is not known to add anything.
    if (isBound(own)) return heard;
    return { ...heard, value: amplitudeToDb(amplitude + ownAmplitude) };
  }
  if (amplitude <= limitedAmplitude * ownAmplitude) {
    return {
      value: amplitudeToDb(amplitude + ownAmplitude),
      unit: heard.unit,
      uncertainty: boundDb,
      limitedBy: "interface",
      bound: "upper",
    };
  }
  const reach = -amplitudeToDb(1 - (arcsine95 * ownAmplitude) / amplitude);
  return { ...heard, uncertainty: Math.hypot(heard.uncertainty, reach) };
}
