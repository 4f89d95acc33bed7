import { getOwnUncertainty } from "../../measure/own-uncertainty.js";
import type { Reading } from "../../measure/types.js";
import type { PairedMeasurement, PathPair } from "./path-pairs.js";

/** Sum of squared deviations of repeated takes from their mean, and the degrees of freedom. */
interface Scattered {
  readonly squares: number;
  readonly freedom: number;
}

/**
 * Standard deviation of a difference from repeated takes, beyond the uncertainties of the
 * measurements: an intermittent contact repeats worse than noise explains. A round without repeats
 * uses the other's.
 *
 * @param pairs the paths whose takes count together: one, or a family too small to show its scatter
 * @param reading its id
 * @returns 0 if nothing was repeated in either round
 */
export function computeRepeatability(pairs: readonly PathPair[], reading: string): number {
  if (!pairs.some(({ earlier, later }) => earlier.otherTakes || later.otherTakes)) return 0;
  const earlier = beyondMeasurement(
    pairs.map((pair) => pair.earlier),
    reading,
  );
  const later = beyondMeasurement(
    pairs.map((pair) => pair.later),
    reading,
  );
  return Math.sqrt((earlier ?? later ?? 0) + (later ?? earlier ?? 0));
}

function beyondMeasurement(paths: readonly PairedMeasurement[], id: string): number | undefined {
  const each = paths.flatMap((path) => {
    const own = path.readings[id];
    return own === undefined ? [] : [{ own, ...scattered(takesOf(path, own, id)) }];
  });
  const freedom = each.reduce((sum, one) => sum + one.freedom, 0);
  if (freedom === 0) return undefined;
  const variance = each.reduce((sum, { squares }) => sum + squares, 0) / freedom;
  const measured =
    each.reduce((sum, { own, freedom: free }) => sum + free * standard(own) ** 2, 0) / freedom;
  return Math.max(0, variance - measured);
}

/** All takes that have the reading, in its unit. */
function takesOf(
  { otherTakes = [] }: PairedMeasurement,
  own: Reading,
  id: string,
): readonly number[] {
  const others = otherTakes.flatMap(({ readings }) => {
    const reading = readings[id];
    return reading === undefined || reading.unit !== own.unit || reading.bound !== undefined
      ? []
      : [reading.value];
  });
  return own.bound === undefined ? [own.value, ...others] : others;
}

function scattered(values: readonly number[]): Scattered {
  if (values.length < 2) return { squares: 0, freedom: 0 };
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return { squares, freedom: values.length - 1 };
}

/** Without the calibration's part, which takes of one round share. */
function standard(reading: Reading): number {
  return getOwnUncertainty(reading) / 2;
}
