import type { RankedInput, Usual } from "../rank/families.js";
import type { RankedPath } from "../rank/rank.js";
import { pathCase } from "./case.js";
import { causeKinds } from "./causes.js";
import type { Cause } from "./types.js";

/** Causes with less than this are not worth a line. */
const leastWeight = 0.5;
const mostCauses = 3;

/**
 * Names likely causes for one path, the likeliest first. Nothing is named for a path without a
 * finding that calls for attention, and a dead path has one cause.
 *
 * @param input the path as ranked
 * @param ranked its findings
 * @param usual what is usual in its family
 */
export function diagnosePath(
  input: RankedInput,
  ranked: RankedPath,
  usual: Usual | undefined,
): readonly Cause[] {
  if (!ranked.findings.some((f) => f.severity !== "remark")) return [];
  const path = pathCase(input, ranked.findings, usual);
  const judged = causeKinds.flatMap((kind) => {
    const judgement = kind.judge(path);
    return judgement && judgement.weight >= leastWeight ? [{ kind, ...judgement }] : [];
  });
  judged.sort((a, b) => b.weight - a.weight);
  const dead = judged.find(({ kind }) => kind.id === "no-signal");
  return (dead ? [dead] : judged.slice(0, mostCauses)).map(({ kind, evidence }) => ({
    cause: kind.id,
    name: kind.name,
    kind: kind.kind,
    evidence,
    confirmBy: kind.confirmBy,
  }));
}
