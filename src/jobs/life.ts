import { getDeskFolder } from "../desk/desk-file.js";
import { parsePlace } from "../desk/place.js";
import { readDesk } from "../desk/read/read-desk.js";
import { DeskroundError } from "../errors.js";
import { isSameDesk } from "../history/same-desk.js";
import { listRounds, readRound } from "../history/store.js";
import type { Round } from "../history/types.js";
import { readNotebook } from "../service/notebook/read.js";
import type { Notebook } from "../service/notebook/types.js";
import { estimateCapacitorLife } from "../service/plan/ageing.js";
import { buildStripLife, type StripLife } from "../service/plan/life.js";

export interface StripLifeResult {
  readonly life: StripLife;
  readonly desk: string;
  readonly notebook: Notebook;
  /** Rounds that cannot be read, in words. */
  readonly skipped: readonly string[];
}

/**
 * The life of a strip, from every round and the notebook.
 *
 * @throws DeskroundError `usage` for an unknown strip, `desk-file`, `notebook-file`
 */
export async function readStripLife(
  folderOrFile: string,
  stripText: string,
): Promise<StripLifeResult> {
  const desk = readDesk(folderOrFile);
  const folder = getDeskFolder(folderOrFile);
  const { strip } = parsePlace(stripText, desk);
  if (strip === undefined) {
    throw new DeskroundError(
      "usage",
      "The desk at large has no history of a strip.",
      "Name a strip: --history 6",
    );
  }
  const notebook = readNotebook(folder);
  const rounds: Round[] = [];
  const skipped: string[] = [];
  for (const id of listRounds(folder)) {
    try {
      rounds.push(await readRound(folder, id));
    } catch (error) {
      if (!(error instanceof DeskroundError)) throw error;
      skipped.push(error.message);
    }
  }
  const trends = await trendsFor(rounds.filter(({ partial }) => partial === undefined));
  const life = buildStripLife(
    strip,
    rounds,
    notebook,
    trends,
    estimateCapacitorLife(strip, desk.age),
  );
  return { life, desk: desk.name, notebook, skipped };
}

async function trendsFor(whole: readonly Round[]) {
  const last = whole.at(-1);
  const { minRounds, computeTrends } = await import("../history/trend/trends.js");
  const alike = whole.filter(({ desk }) => last !== undefined && isSameDesk(desk, last.desk));
  return alike.length < minRounds ? undefined : computeTrends(alike, () => []);
}
