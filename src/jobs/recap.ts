import { parseWantedPaths } from "../analysis/place/wanted-paths.js";
import { getDeskFolder, nameFolder } from "../desk/desk-file.js";
import { readDesk } from "../desk/read/read-desk.js";
import { readStripDown } from "../desk/strip-down/read-strip-down.js";
import { stripDownFileName } from "../desk/strip-down/strip-down-file.js";
import { DeskroundError } from "../errors.js";
import { readNotebook } from "../service/notebook/read.js";
import type { Notebook } from "../service/notebook/types.js";
import { makeRecapPlan, type RecapPlan } from "../service/plan/recap.js";
import { findLatestWholeRound } from "./plan.js";
import { getDate } from "./wall-time.js";

export interface RecapRequest {
  /** The desk's folder, or the desk file. */
  readonly desk: string;
  /** Strips to do; all when absent. */
  readonly strips?: readonly string[];
  /** 6 when absent. */
  readonly hoursADay?: number;
  /** YYYY-MM-DD; today when absent. */
  readonly date?: string;
}

const usualHours = 6;

/**
 * Plans the replacement of electrolytics, from the strip-down book, the desk's age, the notebook
 * with its stores and the latest whole round. Nothing is written.
 *
 * @throws DeskroundError `desk-file` without a strip-down book or capacitors in it; `usage` for an
 *   unknown strip
 */
export async function planRecap(request: RecapRequest): Promise<{
  readonly plan: RecapPlan;
  readonly notebook: Notebook;
  /** Rounds that were skipped, in words. */
  readonly skipped: readonly string[];
}> {
  const desk = readDesk(request.desk);
  const folder = getDeskFolder(request.desk);
  const book = readStripDown(folder, desk);
  if (book === undefined || book.boards.every(({ capacitors }) => capacitors.length === 0)) {
    throw new DeskroundError(
      "desk-file",
      book === undefined
        ? `No ${stripDownFileName} is in ${nameFolder(folder)}, so it is not known which capacitors there are.`
        : `${book.file} names no capacitors.`,
      "Give each board its electrolytics: capacitors: [6x 10 µF 35 V]. docs/strip-down.md shows how.",
    );
  }
  const notebook = readNotebook(folder);
  const wanted =
    request.strips === undefined
      ? undefined
      : new Set(parseWantedPaths(request.strips, desk.paths).map(({ strip }) => strip));
  const skipped: string[] = [];
  const plan = makeRecapPlan({
    desk,
    book,
    notebook,
    round: await findLatestWholeRound(folder, skipped),
    ...(wanted === undefined ? {} : { strips: desk.strips.filter((one) => wanted.has(one)) }),
    hoursADay: request.hoursADay ?? usualHours,
    date: getDate(request.date).slice(0, 10),
  });
  return { plan, notebook, skipped };
}
