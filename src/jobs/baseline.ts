import { DeskroundError } from "../errors.js";
import { pickBaselines } from "../history/pick.js";
import { listRounds, readRound } from "../history/store.js";
import type { Round } from "../history/types.js";
import { formatPartialRound } from "../report/passed-over.js";
import { formatCommand } from "../text/program-name.js";

/**
 * The round that a baseline's name means. `last` and `oldest` skip rounds that are damaged,
 * withdrawn, partial or of the same day: none of these can stand for last year's.
 *
 * @throws DeskroundError `round-file`
 */
export async function readBaseline(
  folder: string,
  text: string,
  round: string,
): Promise<{ readonly baseline: Round; readonly skipped: readonly string[] }> {
  if (isNamed(text)) return { baseline: await readRound(folder, text), skipped: [] };
  const choices = pickBaselines(listRounds(folder), text, round, folder);
  const skipped: string[] = [];
  for (const id of choices) {
    try {
      const baseline = await readRound(folder, id);
      if (baseline.partial === undefined) return { baseline, skipped };
      skipped.push(formatPartialRound(id));
    } catch (error) {
      if (!(error instanceof DeskroundError)) throw error;
      skipped.push(`${error.message}${error.hint === undefined ? "" : ` ${error.hint}`}`);
    }
  }
  throw new DeskroundError(
    "round-file",
    choices.length === 1
      ? `The only round before ${round} cannot be the baseline: ${skipped[0]}`
      : `None of the ${choices.length} rounds before ${round} can be the baseline: ${skipped[0]}`,
    `\`${formatCommand("show --list")}\` shows what is wrong with each.`,
  );
}

function isNamed(text: string): boolean {
  return text !== "last" && text !== "oldest";
}
