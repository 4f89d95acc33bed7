import type { RoundPath } from "../../history/types.js";
import { rows } from "../../rank/shared/rows.js";

/** A point of a curve by which mornings are compared. */
export interface MorningPoint {
  /** Id of the curve. */
  readonly curve: string;
  readonly atHz: number;
  /** Decibels; smaller changes do not matter. */
  readonly least: number;
}

const keyOf = (curve: string, atHz: number) => `${curve}@${atHz}`;

/** Points of the curves used for shared faults: the only ones compared by a morning. */
const points = rows.flatMap((row) => (row.atHz === undefined ? [] : [{ ...row, atHz: row.atHz }]));

const known = new Map(
  points.map(({ reading, atHz, least }): [string, MorningPoint] => [
    keyOf(reading, atHz),
    { curve: reading, atHz, least },
  ]),
);

/**
 * The curves of a path at a few frequencies, decibels, by keys that {@link findCurvePoint} knows.
 *
 * @example
 * // A response that is 12 dB down at 10 kHz and beyond: { …, "response@10000": -12, … }
 * readCurvePoints(path);
 */
export function readCurvePoints({
  path,
  family,
  curves,
}: Pick<RoundPath, "path" | "family" | "curves">): Readonly<Record<string, number>> {
  const measured = { path, family, measurement: { readings: {}, absent: {}, curves } };
  return Object.fromEntries(
    points.flatMap((row) => {
      const value = row.read(measured);
      return value === undefined ? [] : [[keyOf(row.reading, row.atHz), value]];
    }),
  );
}

/** The curve point of a morning's figure; undefined for a reading. */
export function findCurvePoint(key: string): MorningPoint | undefined {
  return known.get(key);
}
