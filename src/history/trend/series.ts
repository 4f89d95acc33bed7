import { getReadingId } from "../../measure/reading-kinds.js";
import type { Reading } from "../../measure/types.js";
import type { Round, RoundPath } from "../types.js";
import type { AgeingIndicator } from "./ageing.js";

/** One reading of one path through the rounds, on the scale on which age is a straight line. */
export interface Series {
  readonly path: RoundPath;
  readonly points: readonly SeriesPoint[];
}

export interface SeriesPoint {
  /** Which of the rounds. */
  readonly round: number;
  /** Years, negative: before the last round. */
  readonly years: number;
  readonly y: number;
  /** Points of one epoch compare; between two epochs something else was changed. */
  readonly epoch: number;
}

/** The tone that a level is held against on its way through years of other settings. */
export function getGain({ readings }: RoundPath): number {
  return readings[getReadingId("gain")]?.value ?? 0;
}

/** Puts a value on the scale of its ageing, and back. */
export function toScale(value: number, tone: number, { scale }: AgeingIndicator): number {
  if (scale === "logarithm") return Math.log(value);
  return scale === "against-tone" ? value - tone : value;
}

export function fromScale(y: number, tone: number, { scale }: AgeingIndicator): number {
  if (scale === "logarithm") return Math.exp(y);
  return scale === "against-tone" ? y + tone : y;
}

/**
 * A reading of every path of the last whole round through all rounds. What noise hid, what is in another
 * unit than the last round's, and what was not measured has no point.
 *
 * @param rounds oldest first
 * @param epochs of each round
 */
export function buildSeries(
  rounds: readonly Round[],
  epochs: readonly number[],
  ageing: AgeingIndicator,
): readonly Series[] {
  const last = rounds.findLast(({ partial }) => partial === undefined) ?? rounds[rounds.length - 1];
  const end = Date.parse(rounds[rounds.length - 1].date);
  const byRound = rounds.map(({ paths }) => new Map(paths.map((path) => [path.path, path])));
  const paths = last.paths.map((path) => lastMeasured(rounds, path));
  return paths.map((path) => ({
    path,
    points: rounds.flatMap((round, k): SeriesPoint[] => {
      const then = byRound[k].get(path.path);
      const reading = then?.status === "measured" ? then.readings[ageing.reading] : undefined;
      const unit = path.readings[ageing.reading]?.unit ?? reading?.unit;
      if (then === undefined || reading === undefined || isBound(reading)) return [];
      if (reading.unit !== unit) return [];
      const y = toScale(reading.value, getGain(then), ageing);
      const years = (Date.parse(round.date) - end) / yearMs;
      return Number.isFinite(y) ? [{ round: k, years, y, epoch: epochs[k] }] : [];
    }),
  }));
}

/** The path as it was when it was last measured: a partial round, or a dead path, has no readings. */
function lastMeasured(rounds: readonly Round[], path: RoundPath): RoundPath {
  if (path.status === "measured") return path;
  const earlier = rounds.flatMap(({ paths }) => paths.filter((one) => one.path === path.path));
  return earlier.findLast(({ status }) => status === "measured") ?? path;
}

export const yearMs = 365.25 * 86_400_000;

function isBound({ bound, limitedBy }: Reading): boolean {
  return bound !== undefined || limitedBy !== undefined;
}
