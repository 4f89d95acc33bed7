import { DeskroundError } from "../../errors.js";
import type { Round } from "../../history/types.js";
import { withSides } from "../../history/with-sides.js";
import { minSiblings } from "../../rank/family-stats.js";
import type { Remark } from "../../remark.js";
import { checkRound } from "../../service/limits/check.js";
import { listOperands } from "../../service/limits/list-operands.js";
import { readLimits } from "../../service/limits/read.js";
import type { Check, Limit, Operand } from "../../service/limits/types.js";

/** If this share of a family is past a limit, siblings cannot serve as reference. */
const nearlyAll = 0.6;

/**
 * Finds faults common to whole families, where no path differs from its siblings: by the desk's
 * absolute limits, and by the last stored round.
 *
 * @param folder of the desk
 * @param round as judged among siblings; stored or not
 * @param earlier the round to compare with, if any
 *
 * @returns none if limits.yaml cannot be used: `check` says why
 */
export async function listFamiliesPastLimits(
  folder: string,
  round: Round,
  earlier?: Round,
): Promise<readonly Remark[]> {
  try {
    const kept = earlier ? { baseline: earlier } : {};
    const read = await readLimits(folder, undefined, earlier ? "named" : "none");
    const operands = await listOperands(read, round, earlier);
    const names = (limit: Limit, wanted: Operand["whose"]) =>
      operands.get(limit)?.some(({ whose }) => whose === wanted) === true;
    // Siblings do not show the ageing of a family that aged uniformly.
    const limits = read.filter((limit) => !names(limit, "siblings"));
    const found = await checkRound({ round, limits, undecided: "pass", ...kept });
    const since = (limit: Limit) => (names(limit, "baseline") ? earlier?.id : undefined);
    return familiesPast(found, withSides(round), limits, since);
  } catch (error) {
    if (error instanceof DeskroundError) return [];
    throw error;
  }
}

/** Whether a shared fault of most of the paths already explains the reading. */
function isToldAsShared(
  { shared = [] }: Round,
  paths: readonly { readonly path: string }[],
  reading: string | undefined,
): boolean {
  return shared.some(
    (fault) =>
      fault.findings.some((finding) => finding.reading === reading) &&
      paths.filter(({ path }) => fault.paths.includes(path)).length >= nearlyAll * paths.length,
  );
}

function familiesPast(
  found: Check,
  round: Round,
  limits: readonly Limit[],
  sinceOf: (limit: Limit) => string | undefined,
): readonly Remark[] {
  const familyOf = new Map(round.paths.map(({ path, family }) => [path, family]));
  const families = [...new Set(familyOf.values())];
  return families.flatMap((family) => {
    const paths = found.paths.filter(({ path }) => familyOf.get(path) === family);
    return limits.flatMap((limit): Remark[] => {
      const judged = paths.flatMap(({ checks: own }) =>
        own.filter((one) => one.limit === limit.name && one.verdict !== "incomplete"),
      );
      const past = judged.filter(({ verdict }) => verdict === "fail").length;
      if (past < minSiblings || past < nearlyAll * judged.length) return [];
      if (isToldAsShared(round, paths, judged[0]?.reading)) return [];
      const since = sinceOf(limit);
      return [
        {
          code: "family-past-limit",
          family,
          count: past,
          of: judged.length,
          limit: limit.name,
          expression: limit.text,
          ...(since === undefined ? {} : { since }),
        },
      ];
    });
  });
}
