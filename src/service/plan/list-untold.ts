import { isOrderDoubt } from "../../doubt.js";
import { createStandingReader } from "../../history/standing.js";
import type { Round } from "../../history/types.js";

/**
 * What a plan's sources leave open: as long as anything is open, no plan may say that nothing calls
 * for opening the desk.
 *
 * - `no-round`: no round of the whole desk could be read
 * - `unread`: damaged rounds and controls passes, newer than those that the plan is based on
 * - `order`: which path each return of the round belongs to is in doubt
 * - `unjudged`: paths that were not measured, or have too few siblings to be judged by
 */
export type Untold =
  | { readonly code: "no-round" }
  | ({ readonly code: "unread" } & Unread)
  | { readonly code: "order"; readonly round: string }
  | { readonly code: "unjudged"; readonly paths: readonly string[] };

/** Names of files that are damaged. */
export interface Unread {
  readonly rounds: readonly string[];
  /** Controls passes. */
  readonly passes: readonly string[];
}

export const nothingUnread: Unread = { rounds: [], passes: [] };

/**
 * @param round of the plan; undefined if there is none
 * @param later partial rounds since, the newest first
 */
export function listUntold(
  round: Round | undefined,
  later: readonly Round[],
  unread: Unread,
): readonly Untold[] {
  const unjudged = round === undefined ? [] : listUnjudged(round, later);
  return [
    ...(round === undefined ? [{ code: "no-round" } as const] : []),
    ...(unread.rounds.length + unread.passes.length === 0
      ? []
      : [{ code: "unread", ...unread } as const]),
    ...(round?.doubts?.some(isOrderDoubt) ? [{ code: "order", round: round.id } as const] : []),
    ...(unjudged.length === 0 ? [] : [{ code: "unjudged", paths: unjudged } as const]),
  ];
}

/** Paths on which no round from this one on has the last word. */
function listUnjudged(base: Round, later: readonly Round[]): readonly string[] {
  const open = new Set<string>();
  for (const round of [base, ...later.toReversed()]) {
    const standing = createStandingReader(round);
    for (const path of round.paths) {
      const own = standing(path);
      if (own === "unmeasured" || own === "unjudged") {
        if (round === base) open.add(path.path);
      } else open.delete(path.path);
    }
  }
  return base.paths.flatMap(({ path }) => (open.has(path) ? [path] : []));
}
