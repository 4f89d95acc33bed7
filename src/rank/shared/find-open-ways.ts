import { groupBy } from "../../text/group-by.js";
import { computePartPrior } from "./list-candidates.js";
import { readRows, scoreCandidate } from "./score-candidate.js";
import { leastLogOdds } from "./separate-shared.js";
import type { PlacedInput, SharedPart, SharedStructure } from "./types.js";

/** An output or bus of passes that may be the cause of what some of its paths show. */
export interface OpenWay {
  readonly part: SharedPart;
  /** Paths that show it, in the order given. */
  readonly paths: readonly string[];
  /** Number of paths through it. */
  readonly of: number;
}

/** A single odd path says nothing about its output. */
const leastPaths = 2;

/**
 * Finds outputs and buses of passes that may be at fault instead of the strips: too few paths went
 * through them, or one path does not show the fault. For example, if an inverted output feeds three
 * strips, one of which has its legs swapped, two come back inverted; the same happens if those two
 * are swapped.
 *
 * @param paths without the shares of the faults that were found
 * @example
 * const path = (strip, value) => ({
 *   path: `${strip}/line`,
 *   strip: `${strip}`,
 *   input: "line",
 *   family: "line",
 *   measurement: { readings: { polarity: { value, unit: "", uncertainty: 0 } }, absent: {}, curves: {} },
 * });
 * const paths = [1, 2, 3, 4, 5, 6, 7, 8, 9].map((strip) => path(strip, strip > 1 && strip < 4 ? -1 : 1));
 * const through = ["1", "2", "3"];
 * const parts = [{ kind: "output", name: "output 1", strips: through, paths: ["1/line", "2/line", "3/line"] }];
 * const strips = paths.map(({ strip }) => strip);
 * const [way] = findOpenWays(paths, { strips, parts });
 * way.paths; // ["2/line", "3/line"]
 */
export function findOpenWays(
  paths: readonly PlacedInput[],
  { strips, parts }: SharedStructure,
): readonly OpenWay[] {
  const ways = parts.flatMap(({ kind, name, paths: through }) =>
    through === undefined ? [] : [{ part: { kind, name }, through }],
  );
  if (ways.length === 0) return [];
  const values = readRows(paths, strips);
  return ways.flatMap(({ part, through }): readonly OpenWay[] => {
    const own = paths.filter(({ path }) => through.includes(path));
    const members = new Set(own.map(({ path }) => path));
    const logPrior = computePartPrior(parts.length);
    const score = scoreCandidate({ part, members, isThrough: true, logPrior }, values);
    if (score.logOdds < -leastLogOdds) return [];
    const showing = own.filter(({ path }) => score.moved.some((row) => row.showing.includes(path)));
    const alike = groupBy(showing, ({ strip }) => strip);
    if (alike.size < leastPaths) return [];
    return [{ part, paths: showing.map(({ path }) => path), of: own.length }];
  });
}
