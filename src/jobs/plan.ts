import { existsSync } from "node:fs";
import { join } from "node:path";
import { getDeskFolder } from "../desk/desk-file.js";
import type { StripDownBook } from "../desk/strip-down/types.js";
import type { Desk } from "../desk/types.js";
import { DeskroundError } from "../errors.js";
import { readKnownDesk, readKnownStripDown } from "../history/checked/known-desk.js";
import { listRounds, readRound } from "../history/store.js";
import type { Round } from "../history/types.js";
import { formatPassedOver } from "../report/passed-over.js";
import { wordPlan } from "../report/plan/word-plan.js";
import type { WordedPlan } from "../report/plan/worded.js";
import { weighRound } from "../service/checks/weigh-checks.js";
import { type LeftAlone, leaveAlone } from "../service/notebook/left-alone.js";
import { readKnownNotebook } from "../service/notebook/read-known.js";
import type { Entry, Notebook } from "../service/notebook/types.js";
import { formatItemKey } from "../service/plan/items.js";
import { makePlan } from "../service/plan/plan.js";
import { listFaultyControls } from "./latest-controls.js";
import { readChecks } from "./read-checks.js";
import { getDate } from "./wall-time.js";

export interface PlanRequest {
  /** The desk's folder, or the desk file. */
  readonly desk: string;
  readonly hours?: number;
  /** YYYY-MM-DD; today when absent. */
  readonly date?: string;
}

export interface PlanResult {
  readonly plan: WordedPlan;
  readonly notebook: Notebook;
  /**
   * Open notes about strips or inputs that the desk file does not have; the plan leaves them out.
   */
  readonly strangers: readonly Entry[];
  /** Findings of the round that were accepted as known. */
  readonly leftAlone: readonly LeftAlone[];
  /** Pictures that the strip-down book names and the folder does not hold. */
  readonly missingPhotos: readonly string[];
  /** Damaged rounds and controls passes that were skipped, in words. */
  readonly skipped: readonly string[];
}

/**
 * The worklist for the next opening, from the latest whole round, the controls passes, the notebook
 * and the meter readings in it; without a round, from the others alone. Nothing is written.
 *
 * @throws DeskroundError `desk-file`, `round-file`, `notebook-file`
 */
export async function plan({ desk: folderOrFile, hours, date }: PlanRequest): Promise<PlanResult> {
  const desk = await readKnownDesk(folderOrFile);
  const folder = getDeskFolder(folderOrFile);
  const notebook = await readKnownNotebook(folder);
  const skipped: string[] = [];
  const unread: string[] = [];
  const { latest, later } = await findRoundsOfPlan(folder, skipped, unread);
  const day = getDate(date).slice(0, 10);
  const left =
    latest === undefined
      ? { round: latest, leftAlone: [] }
      : leaveAlone(latest, notebook.entries, day);
  const { leftAlone } = left;
  const round =
    left.round &&
    weighRound(
      left.round,
      (await readChecks(folderOrFile, left.round, notebook.entries)).results,
      desk,
    );
  const done = listProvenSince(notebook, round);
  const book = await readKnownStripDown(folder, desk);
  const unreadPasses: string[] = [];
  const controls = await listFaultyControls(folder, notebook, skipped, unreadPasses);
  return {
    plan: wordPlan(
      makePlan({
        desk,
        round,
        later: later.map((one) => leaveAlone(one, notebook.entries, day).round ?? one),
        notebook,
        done,
        controls,
        unread: { rounds: unread, passes: unreadPasses },
        ...(hours === undefined ? {} : { hours }),
        book,
        date: day,
      }),
    ),
    notebook,
    leftAlone,
    strangers: listStrangers(notebook, desk),
    missingPhotos: listMissingPhotos(book, folder),
    skipped,
  };
}

function listMissingPhotos(book: StripDownBook | undefined, folder: string): readonly string[] {
  const named = [book?.open, ...(book?.boards ?? [])].flatMap((one) => one?.photos ?? []);
  return [...new Set(named)].filter((name) => !existsSync(join(folder, name)));
}

/** Open notes about places not in the desk file, e.g. after a strip was renamed. */
function listStrangers({ entries }: Notebook, desk: Desk): readonly Entry[] {
  const paths = new Set(desk.paths.map(({ path }) => path));
  return entries.filter(({ line, closed }) => {
    if (closed !== undefined || line.kind === "repair" || line.strip === undefined) return false;
    if (!desk.strips.includes(line.strip)) return true;
    return line.input !== undefined && !paths.has(`${line.strip}/${line.input}`);
  });
}

/**
 * The latest round of the whole desk; undefined if none is stored. Damaged ones are skipped.
 *
 * @param skipped takes what was skipped, in words
 */
export async function findLatestWholeRound(
  folder: string,
  skipped: string[] = [],
): Promise<Round | undefined> {
  return (await findRoundsOfPlan(folder, skipped)).latest;
}

/** The latest round of the whole desk, and those of some paths since, the newest first. */
async function findRoundsOfPlan(
  folder: string,
  skipped: string[],
  unread: string[] = [],
): Promise<{ readonly latest: Round | undefined; readonly later: readonly Round[] }> {
  const later: Round[] = [];
  for (const id of [...listRounds(folder)].reverse()) {
    const round = await readOrSkip(folder, id, skipped);
    if (round === undefined) {
      unread.push(id);
      continue;
    }
    if (round.partial === undefined) return { latest: round, later };
    later.push(round);
  }
  return { latest: undefined, later };
}

async function readOrSkip(
  folder: string,
  id: string,
  skipped: string[],
): Promise<Round | undefined> {
  try {
    return await readRound(folder, id);
  } catch (error) {
    if (!(error instanceof DeskroundError)) throw error;
    skipped.push(formatPassedOver(error));
    return undefined;
  }
}

/** Items of a round that a re-test has proven repaired, with the day of the proof. */
export function listProvenSince(
  { closings }: Notebook,
  round: Round | undefined,
): ReadonlyMap<string, string> {
  return new Map(
    closings.flatMap(({ strip, what, raisedBy, date }) =>
      strip !== undefined && what !== undefined && raisedBy === round?.id
        ? [[formatItemKey(strip, what), date.slice(0, 10)] as const]
        : [],
    ),
  );
}
