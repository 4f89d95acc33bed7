import type { Doubt } from "../../doubt.js";
import { groupBy } from "../../text/group-by.js";
import { listSeriousFindings } from "../standing.js";
import type { Round, RoundPath } from "../types.js";

/** In smaller families a few new faults already exceed the share below. */
const leastFamily = 4;
const leastPaths = 3;
/** More of a family than this is not likely to fail between two rounds. */
const mostShare = 0.25;

/**
 * Families of which more than a quarter stand out that did not in the last round: recordings or
 * settings in another order are likelier than that many new faults.
 *
 * @param round with what paths share subtracted before they were judged
 */
export function findNewlyOdd(round: Round, earlier: Round): readonly Doubt[] {
  const before = new Map(earlier.paths.map((path) => [path.path, path]));
  const isOdd = (path: RoundPath) => listSeriousFindings(path).length > 0;
  const both = round.paths.filter(
    ({ path, status }) => status === "measured" && before.get(path)?.status === "measured",
  );
  return [...groupBy(both, ({ family }) => family)].flatMap(([family, own]): Doubt[] => {
    const newly = own.filter((path) => {
      const was = before.get(path.path);
      return isOdd(path) && was !== undefined && !isOdd(was);
    });
    if (own.length < leastFamily || newly.length < leastPaths) return [];
    if (newly.length <= mostShare * own.length) return [];
    const paths = newly.map(({ path }) => path);
    return [{ code: "many-newly-odd", family, paths, of: own.length, round: earlier.id }];
  });
}
