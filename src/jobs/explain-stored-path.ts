import { existsSync } from "node:fs";
import { createReferenceReader } from "../analysis/judge/rank-and-diagnose.js";
import { getDeskFile } from "../desk/desk-file.js";
import { readDesk } from "../desk/read.js";
import { type Explanation, explainPath } from "../diagnose/diagnose.js";
import { DeskroundError } from "../errors.js";
import { toPathToRank } from "../history/to-path-to-rank.js";
import type { Round, RoundPath } from "../history/types.js";
import { applyBatches, findBatches } from "../rank/batches.js";
import { rankPartners } from "../rank/rank-partners.js";

/**
 * The reasoning on one path of a stored round, done again from its readings.
 *
 * @param desk folder of the desk, whose file tells the levels at the sockets
 * @throws DeskroundError `usage` for a path that was not measured
 */
export function explainStoredPath(desk: string, round: Round, path: RoundPath): Explanation {
  if (path.status !== "measured") {
    throw new DeskroundError(
      "usage",
      `${path.path} was not measured in round ${round.id}: there is nothing to reason from.`,
      `Its state: ${path.reason ?? path.status}.`,
    );
  }
  const recorded = round.paths.map(toPathToRank);
  const inputs = applyBatches(recorded, findBatches(recorded));
  const at = round.paths.indexOf(path);
  const ranked = rankPartners(inputs)[at];
  const around = createReferenceReader(inputs, socketLevels(desk));
  return explainPath(ranked.spoken, ranked, around(ranked.spoken, path.input));
}

function socketLevels(desk: string) {
  return existsSync(getDeskFile(desk)) ? readDesk(desk).inputs : [];
}
