import { defaultConstruction } from "../../desk/construction.js";
import { classifyStage } from "../../desk/stage-role.js";
import type { Desk } from "../../desk/types.js";
import { applyChecks } from "../../diagnose/checks/apply-checks.js";
import { chooseCheck } from "../../diagnose/checks/choose-check.js";
import type { CheckResult } from "../../diagnose/checks/types.js";
import { listSeriousFindings } from "../../history/standing.js";
import type { Round, RoundPath } from "../../history/types.js";
import type { NoteLine } from "../notebook/schema.js";
import type { Entry } from "../notebook/types.js";

export type CheckLine = Extract<NoteLine, { kind: "check" }>;

/** The parts of a desk file that decide which checks are possible on a path. */
export type CheckedDesk = Pick<Desk, "paths" | "flow" | "construction">;

/** Checks made on a round's paths since then, by path. */
export type CheckResults = ReadonlyMap<string, readonly CheckResult[]>;

/** A round's checks in the notebook, oldest first. */
export function listNotedChecks(round: Pick<Round, "id">, entries: readonly Entry[]): CheckResults {
  const results = new Map<string, CheckResult[]>();
  for (const { id, line, closed } of entries) {
    if (line.kind !== "check" || line.round !== round.id || closed !== undefined) continue;
    const path = `${line.strip}/${line.input}`;
    const one = { check: line.check, outcome: line.outcome, source: id };
    results.set(path, [...(results.get(path) ?? []), one]);
  }
  return results;
}

/**
 * Weighs checks into a path's causes, and chooses the most useful next check.
 *
 * @param path with meter readings already weighed in
 *
 * @param desk absent if its file is missing: then every check is assumed possible
 */
export function weighPath(
  path: RoundPath,
  round: Pick<Round, "paths">,
  results: CheckResults,
  desk?: CheckedDesk,
): RoundPath {
  const own = results.get(path.path) ?? [];
  const causes = applyChecks(path.causes, own);
  const weighed = causes === path.causes ? path : { ...path, causes };
  if (path.rank === undefined || listSeriousFindings(path).length === 0) return weighed;
  const next = chooseCheck(causes, {
    ...situationOf(path, round, desk),
    done: own.map(({ check }) => check),
  });
  return next === undefined ? weighed : { ...weighed, next };
}

/** The same for every path of a round. */
export function weighRound(round: Round, results: CheckResults, desk?: CheckedDesk): Round {
  return { ...round, paths: round.paths.map((path) => weighPath(path, round, results, desk)) };
}

function situationOf(
  { strip, input, path }: RoundPath,
  { paths }: Pick<Round, "paths">,
  desk: CheckedDesk | undefined,
) {
  const { pullMinutes } = desk?.construction ?? defaultConstruction;
  const known = paths.filter((one) => one.strip === strip && one.status === "measured");
  const measured = new Set(known.map((one) => one.path));
  const otherInput =
    desk?.paths.some(
      (one) => one.strip === strip && one.path !== path && !measured.has(one.path),
    ) ?? false;
  const roles = (desk?.flow.stages[input] ?? []).flatMap(classifyStage);
  return {
    pullMinutes,
    otherInput: otherInput && measured.size < 2,
    ...(roles.length === 0 ? {} : { stages: withMute(roles) }),
  };
}

/** Adds the mute, which desk files hardly ever list among the stages. */
function withMute(roles: ReturnType<typeof classifyStage>) {
  return [...roles, "mute" as const];
}
