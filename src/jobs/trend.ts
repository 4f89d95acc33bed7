import { getDeskFolder } from "../desk/desk-file.js";
import { DeskroundError } from "../errors.js";
import { compareRoundIds } from "../history/round-id.js";
import { isSameDesk } from "../history/same-desk.js";
import { listRounds, readRound } from "../history/store.js";
import { computeTrends } from "../history/trend/trends.js";
import type { Trends } from "../history/trend/types.js";
import type { Round } from "../history/types.js";
import { readLimits } from "../service/limits/read.js";
import { listTrendLimits } from "../service/limits/trend-limits.js";

/** What `compare --trend` is asked to do. */
export interface TrendRequest {
  /** Folder that holds the rounds and, perhaps, limits.yaml; or the desk file itself. */
  readonly desk: string;
  /** The last round to count: id, date, `last` or `oldest`. */
  readonly round: string;
}

export interface TrendResult {
  readonly trends: Trends;
  /** Rounds that were passed over, in words. */
  readonly skipped: readonly string[];
}

/**
 * All rounds of a desk up to one, as trends. What cannot be read, or is of another desk, is passed
 * over and named. Nothing is written.
 *
 * @throws DeskroundError `round-file`, `limits-file` or `usage`
 */
export async function computeDeskTrends({ desk, round }: TrendRequest): Promise<TrendResult> {
  const folder = getDeskFolder(desk);
  const known = listRounds(folder);
  const last = await readRound(folder, round);
  const earlier = known.filter((id) => compareRoundIds(id, last.id) < 0);
  const rounds: Round[] = [];
  const skipped: string[] = [];
  for (const id of earlier) {
    const one = await readOrSkip(folder, id, last, skipped);
    if (one !== undefined) rounds.push(one);
  }
  rounds.push(last);
  const [first] = rounds;
  const limits = await listTrendLimits(last, first, readLimits(folder, undefined, "named"));
  return { trends: computeTrends(rounds, limits), skipped };
}

async function readOrSkip(
  folder: string,
  id: string,
  last: Round,
  skipped: string[],
): Promise<Round | undefined> {
  try {
    const round = await readRound(folder, id);
    if (isSameDesk(round.desk, last.desk)) return round;
    skipped.push(`Round ${id} is of the desk "${round.desk.name}".`);
  } catch (error) {
    if (!(error instanceof DeskroundError)) throw error;
    skipped.push(error.message);
  }
  return undefined;
}
