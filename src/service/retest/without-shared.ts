import { toMeasurement } from "../../history/to-path-to-rank.js";
import type { Round, RoundPath, RoundShared } from "../../history/types.js";
import { findShares, type Shares, subtractShares } from "../../rank/shared/subtract-share.js";
import { groupBy } from "../../text/group-by.js";
import type { SharedOutcome } from "./types.js";

/**
 * Both rounds as though the shared parts that the earlier one named were sound: what they add to some
 * strips is taken off there, and in the re-test as long as they are not mended. Only then do all
 * paths of a family move alike from one to the other.
 */
export function takeOffShared(
  { base, round }: { readonly base: Round; readonly round: Round },
  outcomes: readonly SharedOutcome[],
): { readonly base: Round; readonly round: Round } {
  let both = { base, round };
  for (const fault of base.shared ?? []) {
    if (fault.against !== "siblings") continue;
    const isMended = outcomes.some((one) => one.fault === fault && one.outcome === "mended");
    const shares = findSharesOf(fault, both.base.paths);
    both = {
      base: withoutShares(both.base, fault, shares),
      round: isMended ? both.round : withoutShares(both.round, fault, shares),
    };
  }
  return both;
}

/** By family, what the fault adds. */
function findSharesOf(
  { paths }: RoundShared,
  all: readonly RoundPath[],
): ReadonlyMap<string, Shares> {
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

function withoutShares(
  round: Round,
  fault: RoundShared,
  shares: ReadonlyMap<string, Shares>,
): Round {
  const members = new Set(fault.paths);
  const paths = round.paths.map((path): RoundPath => {
    const own = shares.get(path.family);
    if (own === undefined || path.status !== "measured" || !members.has(path.path)) return path;
    const { readings, absent, curves } = subtractShares(toMeasurement(path), own);
    return { ...path, readings, absent, curves };
  });
  return { ...round, paths };
}
