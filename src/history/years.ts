import { median } from "../dsp/robust.js";
import { getBoundSide } from "../measure/is-bound.js";
import type { PathFacts, ReadingFacts, RoundFacts } from "./facts/types.js";

/** A reading of one path in one round. */
export interface YearPoint {
  readonly round: string;
  /** ISO 8601. */
  readonly date: string;
  readonly value: number;
  readonly unit: string;
  /** Set where the value is a bound. */
  readonly bound?: "upper" | "lower";
  /** Median of its siblings in that round, without itself; absent if there are fewer than three. */
  readonly siblings?: number;
}

/** Points of a path by the id of their reading, oldest first. */
export type PathYears = Readonly<Record<string, readonly YearPoint[]>>;

/** The median of fewer siblings does not show what is normal. */
const fewestSiblings = 3;

/**
 * Readings of every path in round after round, each in the unit of the last one: a level in dBFS
 * cannot be compared with one in dBu.
 *
 * @param rounds oldest first
 * @param readings ids of the wanted ones
 * @returns by the paths' names; only readings that were made in at least two rounds
 */
export function buildYears(
  rounds: readonly RoundFacts[],
  readings: readonly string[],
): ReadonlyMap<string, PathYears> {
  const found = new Map<string, Record<string, YearPoint[]>>();
  for (const { id: round, date, paths } of rounds) {
    for (const reading of readings) {
      for (const path of paths) {
        const own = path.readings[reading];
        if (own === undefined) continue;
        const of = found.get(path.path) ?? {};
        found.set(path.path, of);
        of[reading] ??= [];
        of[reading].push({
          round,
          date,
          value: own.value,
          unit: own.unit,
          ...boundOf(own),
          ...siblingsOf(paths, path, reading, own.unit),
        });
      }
    }
  }
  return new Map([...found].map(([path, all]) => [path, comparable(all)]));
}

function comparable(all: Readonly<Record<string, readonly YearPoint[]>>): PathYears {
  return Object.fromEntries(
    Object.entries(all)
      .map(
        ([id, points]) => [id, points.filter(({ unit }) => unit === points.at(-1)?.unit)] as const,
      )
      .filter(([, points]) => points.length > 1),
  );
}

function boundOf(reading: ReadingFacts): Pick<YearPoint, "bound"> {
  const bound = getBoundSide(reading);
  return bound === undefined ? {} : { bound };
}

function siblingsOf(
  paths: readonly PathFacts[],
  { path, family }: PathFacts,
  reading: string,
  unit: string,
): Pick<YearPoint, "siblings"> {
  const values = paths.flatMap((one) => {
    const other = one.readings[reading];
    return one.family === family && one.path !== path && other?.unit === unit ? [other.value] : [];
  });
  return values.length < fewestSiblings ? {} : { siblings: median(values) };
}
