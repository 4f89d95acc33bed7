import { amplitudeToDb, dbToAmplitude, powerToDb } from "../../dsp/decibels.js";
import type { OwnShare } from "../reading-kind.js";
import { computeCoverageFactor } from "../readings/level.js";
import type { Reading } from "../types.js";

/** A reading within 3 dB of the interface's own says more of the interface than of the path. */
const limitedPower = 2;
const limitedAmplitude = Math.SQRT2;
/** A difference of powers this many deviations above zero is an estimate, below it a bound. */
const clearDeviations = 3;
/** Spread of a bound, decibels. */
const boundDb = 6;
/**
 * Half of what holds 95 % of an even spread, as a share of its whole width: an even spread has no
 * tails, so its standard deviation doubled would hold all of it (JCGM 100, 4.3.7 and G.1.3).
 */
const evenly = 0.95 / 4;
/** Share of a full turn's cosines within ±this: 95 % (arcsine distribution, JCGM 100, 4.3.5 note). */
const arcsine95 = Math.sin((0.95 * Math.PI) / 2);

/** What else is known where the interface's share is taken out of a reading. */
export interface InterfaceContext {
  /**
   * How much more of the interface's output comes back through the path than through the
   * loopback, as a power ratio. Nobody knows how the interface's noise divides between its output
   * and its input, so its share lies anywhere between the two cases.
   */
  readonly outputShare: number;
  /** What of the reading is steady, line by line: it adds as voltage, each with a phase of its own. */
  readonly steady?: readonly SteadyPart[];
  /** By how much the interface's own may have risen with the level, decibels; 0 when left out. */
  readonly riseDb?: number;
}

/** A line as heard and that of the interface alone, as powers in the unit of the reading. */
export interface SteadyPart {
  readonly heard: number;
  readonly own: number;
}

/**
 * Takes the interface's own share out of a reading, as far as that is sound, and lets the
 * uncertainty grow by what stays in.
 *
 * - Powers are subtracted: what the path alone gave is left. Where that drowns in the doubt about
 *   both powers, the value is an upper bound. Steady lines on both sides add with unknown phases: each
 *   by itself, so that of many some cancel and some add.
 * - Voltages of unknown phase are not: the truth lies anywhere between difference and sum, so the
 *   value stays and the uncertainty covers both. Within 3 dB of the interface's own only the sum
 *   remains, as an upper bound. A sum of lines that are known one by one is taken as a power again.
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
    // A bound holds no lines that could cancel each by itself.
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
  const share = ownPower(own, around.outputShare);
  const random = Math.hypot(total.deviation, share.deviation);
  const lines = around.steady ?? [];
  const deviation = Math.hypot(random, crossDeviation(lines, random));
  const left = total.power - share.power;
  // What the recording's word length set stays so: a loopback with longer words does not show it.
  const limited = heard.limitedBy === "interface" || total.power <= limitedPower * share.power;
  if (left <= clearDeviations * deviation) {
    const cross = crossAtMost(lines);
    return {
      value: powerToDb(Math.max(-cross, left) + Math.hypot(2 * random, cross)),
      unit: heard.unit,
      uncertainty: boundDb,
      limitedBy: "interface",
      bound: "upper",
    };
  }
  // The wider side of an interval that is even in power, so that it holds on both.
  return {
    value: powerToDb(left),
    unit: heard.unit,
    uncertainty: -powerToDb(1 - (2 * deviation) / left),
    common: -powerToDb(1 - (2 * share.deviation) / left),
    ...(limited ? { limitedBy: "interface" } : {}),
  };
}

/** Power and its standard deviation from a value in decibels and its uncertainty. */
function powerOf({ value, uncertainty }: Reading): { power: number; deviation: number } {
  const power = 10 ** (value / 10);
  return { power, deviation: (power * (10 ** (uncertainty / 10) - 1)) / 2 };
}

/** The interface's share, spread evenly over all divisions between its output and its input. */
function ownPower(own: Reading, outputShare: number) {
  const { power, deviation } = powerOf(own);
  // Of a bound only the range is known.
  if (isBound(own)) return { power: power / 2, deviation: power * evenly };
  return {
    power: (power * (1 + outputShare)) / 2,
    deviation: Math.hypot(
      (deviation * (1 + outputShare)) / 2,
      power * Math.abs(outputShare - 1) * evenly,
    ),
  };
}

/**
 * |a + b|² = a² + b² + 2ab·cos φ, and 2a²b² is the variance of the last term for any phase. Where one
 * line makes most of it, 95 % lie within fewer deviations than of a normal distribution.
 *
 * @param random standard deviation of all else, which is normal
 */
function crossDeviation(lines: readonly SteadyPart[], random: number): number {
  const variances = lines.map(({ heard, own }) => 2 * heard * own);
  const variance = variances.reduce((sum, one) => sum + one, 0);
  if (!(variance > 0)) return 0;
  const share = Math.max(...variances) / (variance + random ** 2);
  return (Math.sqrt(variance) * computeCoverageFactor(share)) / computeCoverageFactor(0);
}

/**
 * What the path's lines may have more than the difference of powers: a line whose voltage is at most the
 * sum of what is heard and the interface's own, (a + b)² − (a² − b²).
 */
function crossAtMost(lines: readonly SteadyPart[]): number {
  return Math.hypot(...lines.map(({ heard, own }) => 2 * Math.sqrt(heard * own) + 2 * own));
}

function besidePhase(heard: Reading, own: Reading, riseDb: number): Reading {
  const amplitude = dbToAmplitude(heard.value);
  const ownAmplitude = dbToAmplitude(own.value + riseDb);
  if (isBound(heard)) {
    // Below the noise both: the interface's bound adds nothing that is known to be there.
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

/**
 * Whether a reading is a limit and not an estimate.
 *
 * @example
 * isBound({ value: -110, unit: "dB", uncertainty: 6, limitedBy: "noise" }); // true
 */
export function isBound({ bound, limitedBy }: Reading): boolean {
  return bound !== undefined || limitedBy === "noise";
}
