import { existsSync } from "node:fs";
import { getDeskFile, getDeskFolder } from "../desk/desk-file.js";
import type { CheckResult } from "../diagnose/checks/types.js";
import { readKnownDesk } from "../history/checked/known-desk.js";
import { getControlsPassFolder, listRounds, readRound } from "../history/store.js";
import type { Round } from "../history/types.js";
import {
  type CheckedDesk,
  type CheckResults,
  listNotedChecks,
  weighRound,
} from "../service/checks/weigh-checks.js";
import { readKnownNotebook } from "../service/notebook/read-known.js";
import type { Entry } from "../service/notebook/types.js";

/** Checks made on a round's paths since, and its desk. */
export interface Checked {
  readonly results: CheckResults;
  /** Absent if the desk file is gone. */
  readonly desk?: CheckedDesk;
}

/**
 * Reads what was checked since a round: second plays in the notebook, and controls passes of the
 * same day or later. A pass that cannot be read is skipped.
 *
 * @param folderOrFile the desk's folder, or its file
 */
export async function readChecks(
  folderOrFile: string,
  round: Pick<Round, "id" | "date">,
  entries?: readonly Entry[],
): Promise<Checked> {
  const noted = entries ?? (await readKnownNotebook(getDeskFolder(folderOrFile))).entries;
  const results = new Map(listNotedChecks(round, noted));
  for (const [path, result] of await readPassResults(getDeskFolder(folderOrFile), round)) {
    results.set(path, [...(results.get(path) ?? []), result]);
  }
  return {
    results,
    ...(existsSync(getDeskFile(folderOrFile)) ? { desk: await readKnownDesk(folderOrFile) } : {}),
  };
}

/** The latest controls pass of each path, if made since the round. */
async function readPassResults(
  folder: string,
  { date }: Pick<Round, "date">,
): Promise<ReadonlyMap<string, CheckResult>> {
  const found = new Map<string, CheckResult>();
  const passes = getControlsPassFolder(folder);
  for (const id of listRounds(passes)) {
    if (id.slice(0, 10) < date.slice(0, 10)) continue;
    const pass = await readRound(passes, id).catch(() => undefined);
    for (const { path, controls = [] } of pass?.paths ?? []) {
      // If nothing moved, a quiet control proves nothing.
      const moved = controls.filter((one) => one.moved === "seen");
      const isFaulty = controls.some(({ verdicts }) => !verdicts.includes("sound"));
      if (!isFaulty && moved.length === 0) continue;
      const outcome = isFaulty ? "gone" : "stays";
      found.set(path, { check: "controls", outcome, source: `controls pass ${id}` });
    }
  }
  return found;
}

/**
 * Weighs later checks into a round's causes and adds the most useful next check for each doubtful
 * path. The stored round is not changed.
 */
export async function weighChecks(folderOrFile: string, round: Round): Promise<Round> {
  const { results, desk } = await readChecks(folderOrFile, round);
  return weighRound(round, results, desk);
}
