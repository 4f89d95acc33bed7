import { findShares, type Shares, subtractShares } from "../rank/shared/subtract-share.js";
import { groupBy } from "../text/group-by.js";
import { toStoredAbsences } from "./absences.js";
import { toMeasurement } from "./to-path-to-rank.js";
import type { Round, RoundPath, RoundShared } from "./types.js";

/** What a fault shared by some strips adds to their readings, by family. */
export type FamilyShares = ReadonlyMap<string, Shares>;

/** What a fault of a shared part adds to its paths, against their siblings without it. */
export function findFaultShares(
  { paths }: Pick<RoundShared, "paths">,
  all: readonly RoundPath[],
): FamilyShares {
  const members = new Set(paths);
  const measured = all.filter(({ status }) => status === "measured");
  return new Map(
    [...groupBy(measured, ({ family }) => family)].map(([family, own]) => {
      const of = (isInside: boolean) =>
        own.filter(({ path }) => members.has(path) === isInside).map(toMeasurement);
      return [family, findShares({ inside: of(true), outside: of(false) })];
    }),
  );
}

/** The paths as if the shared part were not faulty. */
export function takeOffShares(
  all: readonly RoundPath[],
  { paths }: Pick<RoundShared, "paths">,
  shares: FamilyShares,
): readonly RoundPath[] {
  const members = new Set(paths);
  return all.map((path): RoundPath => {
    const own = shares.get(path.family);
    if (own === undefined || path.status !== "measured" || !members.has(path.path)) return path;
    const { readings, absent, curves } = subtractShares(toMeasurement(path), own);
    return { ...path, readings, ...toStoredAbsences(absent), curves };
  });
}

/** A round as if none of the parts that its strips share were faulty. */
export function takeOffAllShares(round: Round): Round {
  const paths = (round.shared ?? [])
    .filter(({ against }) => against === "siblings")
    .reduce<readonly RoundPath[]>(
      (all, fault) => takeOffShares(all, fault, findFaultShares(fault, all)),
      round.paths,
    );
  return { ...round, paths };
}
