import { deskFolder } from "../desk/locate.js";
import { readDesk } from "../desk/read.js";
import { listRounds, readRound } from "../history/store.js";
import type { Round } from "../history/types.js";
import { readNotebook } from "../service/notebook/read.js";
import type { Notebook } from "../service/notebook/types.js";
import { itemKey } from "../service/plan/items.js";
import { makePlan } from "../service/plan/plan.js";
import type { Plan } from "../service/plan/types.js";
import { dateOf } from "./wall-time.js";

export interface PlanJob {
  /** The desk's folder, or the desk file. */
  readonly desk: string;
  readonly hours?: number;
  /** YYYY-MM-DD; today when absent. */
  readonly date?: string;
}

export interface Planned {
  readonly plan: Plan;
  readonly notebook: Notebook;
}

/**
 * The worklist for the next opening, from the latest whole round, the notebook and the meter
 * readings in it; the notebook alone where there is no round. Nothing is written.
 *
 * @throws DeskroundError `desk-file`, `round-file`, `notebook-file`
 */
export async function plan({ desk: folderOrFile, hours, date }: PlanJob): Promise<Planned> {
  const desk = readDesk(folderOrFile);
  const folder = deskFolder(folderOrFile);
  const notebook = readNotebook(folder);
  const round = await latestWhole(folder);
  const done = provenSince(notebook, round);
  return {
    plan: makePlan({
      desk,
      round,
      notebook,
      done,
      ...(hours === undefined ? {} : { hours }),
      date: dateOf(date).slice(0, 10),
    }),
    notebook,
  };
}

/** The latest round of the whole desk; undefined where none is stored. */
export async function latestWhole(folder: string, before?: string): Promise<Round | undefined> {
  const ids = listRounds(folder);
  const end = before === undefined ? ids.length : ids.indexOf(before);
  for (const id of ids.slice(0, end).reverse()) {
    const round = await readRound(folder, id);
    if (round.partial === undefined) return round;
  }
  return undefined;
}

/** Items of a round that a re-test has proven mended, with the day of the proof. */
export function provenSince(
  { closings }: Notebook,
  round: Round | undefined,
): ReadonlyMap<string, string> {
  return new Map(
    closings.flatMap(({ strip, what, raisedBy, date }) =>
      strip !== undefined && what !== undefined && raisedBy === round?.id
        ? [[itemKey(strip, what), date.slice(0, 10)] as const]
        : [],
    ),
  );
}
