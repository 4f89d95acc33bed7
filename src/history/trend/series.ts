import { getReadingId } from "../../measure/reading-kinds.js";
import type { PathFacts, ReadingFacts, RoundFacts } from "../facts/types.js";
import type { AgeingIndicator } from "./ageing.js";

/** One reading of one path through the rounds, on the scale on which age is a straight line. */
export interface Series {
  readonly path: PathFacts;
  readonly points: readonly SeriesPoint[];
}

export interface SeriesPoint {
  /** Which of the rounds. */
  readonly round: number;
  /** Years, negative: before the last round. */
  readonly years: number;
  readonly y: number;
  /** Only points of one epoch can be compared; between epochs something else was changed. */
  readonly epoch: number;
}

/** The tone that a level is compared with on its way through years of other settings. */
export function getGain({ readings }: PathFacts): number {
  return readings[getReadingId("gain")]?.value ?? 0;
}

/** Puts a value on the scale of its ageing, and back. */
export function toScale(value: number, tone: number, { scale }: AgeingIndicator): number {
  if (scale === "logarithm") return Math.log(value);
  return scale === "against-tone" ? value - tone : value;
}

/** A value on the scale on which a reading ages, back in the reading's own unit. */
export function fromScale(y: number, tone: number, { scale }: AgeingIndicator): number {
  if (scale === "logarithm") return Math.exp(y);
  return scale === "against-tone" ? y + tone : y;
}

/** Rounds as series are built from them, made once for all readings. */
export interface RoundsInTime {
  /** Oldest first. */
  readonly rounds: readonly RoundFacts[];
  /** Paths of each round by their names. */
  readonly paths: readonly ReadonlyMap<string, PathFacts>[];
  /** Of each round, negative: before the last one. */
  readonly years: readonly number[];
  /** Of each round: between two epochs something other than the strips was changed. */
  readonly epochs: readonly number[];
  /** The paths that are followed: those of the last whole round, as they were last measured. */
  readonly followed: readonly PathFacts[];
}

/** @param rounds oldest first, at least one */
export function arrangeRounds(
  rounds: readonly RoundFacts[],
  epochs: readonly number[],
  renewed: ReadonlyMap<string, string> = new Map(),
): RoundsInTime {
  const last = rounds.findLast(({ partial }) => partial === undefined) ?? rounds[rounds.length - 1];
  const end = Date.parse(rounds[rounds.length - 1].date);
  const isOfOld = ({ strip }: PathFacts, date: string) => (renewed.get(strip) ?? "") > date;
  const paths = rounds.map(
    ({ date, paths: own }) =>
      new Map(own.flatMap((path) => (isOfOld(path, date) ? [] : [[path.path, path]]))),
  );
  return {
    rounds,
    paths,
    years: rounds.map(({ date }) => (Date.parse(date) - end) / yearMs),
    epochs,
    followed: last.paths.map((path) => lastMeasured(paths, path)),
  };
}

/**
 * A reading of every path of the last whole round through all rounds. Readings that noise hid, in a
 * different unit from the last round's, or not measured have no point.
 */
export function buildSeries(
  { paths, years, epochs, followed }: RoundsInTime,
  ageing: AgeingIndicator,
): readonly Series[] {
  return followed.map((path) => ({
    path,
    points: paths.flatMap((byName, k): SeriesPoint[] => {
      const then = byName.get(path.path);
      const reading = then?.status === "measured" ? then.readings[ageing.reading] : undefined;
      const unit = path.readings[ageing.reading]?.unit ?? reading?.unit;
      if (then === undefined || reading === undefined || isLimited(reading)) return [];
      if (reading.unit !== unit) return [];
      const y = toScale(reading.value, getGain(then), ageing);
      return Number.isFinite(y) ? [{ round: k, years: years[k], y, epoch: epochs[k] }] : [];
    }),
  }));
}

/** The path as it was when it was last measured: a partial round, or a dead path, has no readings. */
function lastMeasured(
  paths: readonly ReadonlyMap<string, PathFacts>[],
  path: PathFacts,
): PathFacts {
  if (path.status === "measured") return path;
  const measured = paths.findLast((byName) => byName.get(path.path)?.status === "measured");
  return measured?.get(path.path) ?? path;
}

export const yearMs = 365.25 * 86_400_000;

/** A reading limited by the interface says as little about a path's age as a bound does. */
function isLimited({ bound, limitedBy }: ReadingFacts): boolean {
  return bound !== undefined || limitedBy !== undefined;
}
