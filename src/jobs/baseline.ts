import { DeskroundError } from "../errors.js";
import { pickBaselines } from "../history/pick.js";
import { listRounds, readRound } from "../history/store.js";
import type { Round } from "../history/types.js";

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
  const choices = pickBaselines(listRounds(folder), text, round, folder);
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
