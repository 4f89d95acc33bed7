import { deskFolder } from "../desk/locate.js";
import { parsePath } from "../desk/paths.js";
import { DeskroundError } from "../errors.js";
import { compareRounds } from "../history/compare/compare.js";
import type { RoundComparison } from "../history/compare/types.js";
import { pickBaselines, pickRound } from "../history/pick.js";
import { listRounds, readRound } from "../history/store.js";
import type { Round } from "../history/types.js";

/** What `compare` is asked to do. */
export interface CompareRequest {
  /** Folder that holds the rounds, or the desk file itself. */
  readonly desk: string;
  /** Id of a round, `last`, `oldest` or a date. */
  readonly round: string;
  /** The baseline: the same, where `last` is the round before. */
  readonly baseline: string;
  /** A path to which the comparison is narrowed. */
  readonly path?: string;
}

export interface Compared {
  readonly comparison: RoundComparison;
  /** Damaged rounds that were passed over on the way to the baseline, in words. */
  readonly skipped: readonly string[];
}

/**
 * A stored round against its baseline. Nothing is written.
 *
 * @throws DeskroundError `round-file` or `usage`
 */
export async function compare(request: CompareRequest): Promise<Compared> {
  const folder = deskFolder(request.desk);
  const round = await readRound(folder, request.round);
  const { baseline, skipped } = await readBaseline(folder, request.baseline, round.id);
  const comparison = compareRounds(round, baseline);
  if (request.path === undefined) return { comparison, skipped };
  const path = parsePath(request.path, comparison.paths, `round ${round.id}`);
  return { comparison: { ...comparison, paths: [path] }, skipped };
}

/**
 * The round that a baseline's name means; a damaged one is passed over where `last` or `oldest` leave
 * a choice.
 *
 * @throws DeskroundError `round-file`
 */
export async function readBaseline(
  folder: string,
  text: string,
  round: string,
): Promise<{ readonly baseline: Round; readonly skipped: readonly string[] }> {
  const known = listRounds(folder);
  const choices = pickBaselines(known, text, pickRound(known, round, folder), folder);
  const skipped: string[] = [];
  for (const id of choices) {
    try {
      const baseline = await readRound(folder, id);
      if (baseline.partial === undefined || choices.length === 1) return { baseline, skipped };
      skipped.push(`Round ${id} is a partial one.`);
    } catch (error) {
      if (!(error instanceof DeskroundError) || choices.length === 1) throw error;
      skipped.push(error.message);
    }
  }
  throw new DeskroundError(
    "round-file",
    `None of the ${choices.length} rounds before ${round} will do: ${skipped[0]}`,
    "`deskround show --list` names what is wrong with each.",
  );
}
