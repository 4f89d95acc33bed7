import { DeskroundError } from "../../errors.js";
import type { Round } from "../../history/types.js";
import { compileLimit } from "./compile.js";
import type { ExpressionScope } from "./expression.js";
import { loadLockedMath } from "./locked-math.js";
import type { Limit, Operand } from "./types.js";
import { listVocabulary } from "./vocabulary.js";

/**
 * What each limit holds a path against besides numbers: its siblings, the baseline round, figures of
 * its own.
 *
 * @returns without the built-in limits that the round has nothing for
 * @throws DeskroundError `limits-file`: a limit from the file that cannot be understood
 */
export async function listReferences(
  limits: readonly Limit[],
  round: Round,
  baseline?: Round,
): Promise<ReadonlyMap<Limit, ReadonlySet<Operand["whose"]>>> {
  const meaning: ExpressionScope = {
    math: await loadLockedMath(),
    round: listVocabulary(round),
    roundName: `round ${round.id}`,
    ...(baseline === undefined ? {} : { baseline: listVocabulary(baseline) }),
  };
  const found = new Map<Limit, ReadonlySet<Operand["whose"]>>();
  for (const limit of limits) {
    try {
      const { figures } = compileLimit(limit, meaning);
      found.set(limit, new Set(figures.map(({ whose }) => whose)));
    } catch (error) {
      if (limit.from === "file" || !(error instanceof DeskroundError)) throw error;
    }
  }
  return found;
}
