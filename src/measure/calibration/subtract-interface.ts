import { amplitudeToDb, dbToAmplitude, powerToDb } from "../../dsp/decibels.js";
import type { OwnShare } from "../reading-kind.js";
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
  /** The steady part of the reading and of the interface's own, same unit and reference. */
  readonly steady?: { readonly heard: Reading; readonly own: Reading };
}

/**
 * Takes the interface's own share out of a reading, as far as that is sound, and lets the
 * uncertainty grow by what stays in.
 *
 * - Powers are subtracted: what the path alone gave is left. Where that drowns in the doubt about
 *   both powers, the value is an upper bound.
 * - Voltages of unknown phase are not: the truth lies anywhere between difference and sum, so the
 *   value stays and the uncertainty covers both. Within 3 dB of the interface's own only the sum
 *   remains, as an upper bound.
 *
 * @param heard as measured through the interface; decibels for `power` and `phase`
 * @param own the same reading of the loopback, same unit
 */
export function subtractInterface(
  heard: Reading,
  own: Reading,
  share: OwnShare,
  around: InterfaceContext,
): Reading {
  if (share.adds === "difference") return difference(heard, own);
  if (share.adds === "phase") return besidePhase(heard, own);
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
  const steady = around.steady === undefined ? 0 : crossDeviation(around.steady);
  const deviation = Math.hypot(total.deviation, share.deviation, steady);
  const left = total.power - share.power;
  const limited = total.power <= limitedPower * share.power;
  if (left <= clearDeviations * deviation) {
    const value = powerToDb(Math.max(0, left) + 2 * deviation);
    return {
      value,
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

/** |a + b|² = a² + b² + 2ab·cos φ: deviation of the last term for any phase. */
function crossDeviation({ heard, own }: NonNullable<InterfaceContext["steady"]>): number {
  return Math.SQRT2 * dbToAmplitude(heard.value) * dbToAmplitude(own.value);
}

function besidePhase(heard: Reading, own: Reading): Reading {
  const amplitude = dbToAmplitude(heard.value);
  const ownAmplitude = dbToAmplitude(own.value);
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

function isBound({ bound, limitedBy }: Reading): boolean {
  return bound !== undefined || limitedBy === "noise";
}
