import { createStandingReader } from "../../history/standing.js";
import type { Round, RoundShared } from "../../history/types.js";
import type { Notebook } from "../notebook/types.js";

/** Findings of a partial round that are not in the plan, which is based on a whole round. */
export interface NotPlanned {
  readonly round: string;
  /** Paths with findings there but not in the round of the plan. */
  readonly paths: readonly string[];
  /** Faults of shared parts that need service. */
  readonly shared: readonly RoundShared[];
}

/**
 * Findings of partial rounds since the round of the plan: without them a plan could call a desk
 * good that has new findings. The latest measurement of each path counts; strips on which work was
 * noted since then are left out.
 *
 * @param base the round of the plan; undefined if there is none
 *
 * @param later partial rounds since, the newest first
 */
export function listNotPlanned(
  base: Round | undefined,
  later: readonly Round[],
  { entries }: Notebook,
): readonly NotPlanned[] {
  const planned = new Set(base === undefined ? [] : listOdd(base));
  const seen = new Set<string>();
  return later.flatMap((round): NotPlanned[] => {
    const worked = new Set(
      entries.flatMap(({ line }) =>
        line.kind === "repair" && line.date > round.date && line.strip !== undefined
          ? [line.strip]
          : [],
      ),
    );
    const odd = new Set(listOdd(round));
    const paths = round.paths.flatMap(({ path, strip, status }) => {
      if (seen.has(path) || status === "missing") return [];
      seen.add(path);
      return odd.has(path) && !planned.has(path) && !worked.has(strip) ? [path] : [];
    });
    const isNewest = round === later[0];
    const shared = isNewest
      ? (round.shared ?? []).filter(({ severity }) => severity === "service")
      : [];
    return paths.length + shared.length === 0 ? [] : [{ round: round.id, paths, shared }];
  });
}

function listOdd(round: Round): readonly string[] {
  const standing = createStandingReader(round);
  return round.paths.flatMap((path) =>
    ["service", "watch"].includes(standing(path)) ? [path.path] : [],
  );
}
