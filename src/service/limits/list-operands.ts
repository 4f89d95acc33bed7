import { DeskroundError } from "../../errors.js";
import type { Round } from "../../history/types.js";
import { compileLimit } from "./compile.js";
import type { ExpressionScope } from "./expression.js";
import { loadLockedMath } from "./locked-math.js";
import type { Limit, Operand } from "./types.js";
import { listVocabulary } from "./vocabulary.js";

/**
 * The figures that each limit names: readings and curves, the path's own, its siblings' or those of
 * the baseline round.
 *
 * @returns figures without those of built-in limits that the round cannot be judged by
 * @throws DeskroundError `limits-file`: a limit from the file that cannot be understood
 */
export async function listOperands(
  limits: readonly Limit[],
  round: Round,
  baseline?: Round,
): Promise<ReadonlyMap<Limit, readonly Operand[]>> {
  const meaning: ExpressionScope = {
    math: await loadLockedMath(),
    round: listVocabulary(round),
    roundName: `round ${round.id}`,
    ...(baseline === undefined ? {} : { baseline: listVocabulary(baseline) }),
  };
  const found = new Map<Limit, readonly Operand[]>();
  for (const limit of limits) {
    try {
      found.set(limit, compileLimit(limit, meaning).figures);
    } catch (error) {
      if (limit.from === "file" || !(error instanceof DeskroundError)) throw error;
    }
  }
  return found;
}
