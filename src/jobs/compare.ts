import { getDeskFolder } from "../desk/desk-file.js";
import { parsePath } from "../desk/paths.js";
import { compareRounds } from "../history/compare/compare.js";
import type { RoundComparison } from "../history/compare/types.js";
import { readRound } from "../history/store.js";
import { readBaseline } from "./baseline.js";

/** What `compare` is asked to do. */
export interface CompareRequest {
  /** Folder that holds the rounds, or the desk file itself. */
  readonly desk: string;
  /** Id of a round, `last`, `oldest` or a date. */
  readonly round: string;
  /** The baseline: the same, where `last` is the round before. */
  readonly baseline: string;
  /** Compare this path only. */
  readonly path?: string;
  /** Set if a verdict per path is enough: curves that only describe are left out. */
  readonly summary?: true;
}

export interface CompareResult {
  readonly comparison: RoundComparison;
  /** Damaged rounds that were skipped while looking for the baseline, in words. */
  readonly skipped: readonly string[];
}

/**
 * A stored round against its baseline. Nothing is written.
 *
 * @throws DeskroundError `round-file` or `usage`
 */
export async function compare(request: CompareRequest): Promise<CompareResult> {
  const folder = getDeskFolder(request.desk);
  const round = await readRound(folder, request.round);
  const { baseline, skipped } = await readBaseline(folder, request.baseline, round.id);
  // A desk of one path gets all details, like a path that was asked for.
  const which = request.summary && round.paths.length > 1 ? "telling" : "all";
  const comparison = compareRounds(round, baseline, which);
  if (request.path === undefined) return { comparison, skipped };
  const path = parsePath(request.path, comparison.paths, `round ${round.id}`);
  return { comparison: { ...comparison, paths: [path] }, skipped };
}
