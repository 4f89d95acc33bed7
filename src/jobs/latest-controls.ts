import { DeskroundError } from "../errors.js";
import { getControlsPassFolder, listRounds, readRound } from "../history/store.js";
import type { Round, RoundPath } from "../history/types.js";
import { formatPassedOver } from "../report/passed-over.js";
import type { Notebook } from "../service/notebook/types.js";
import type { FaultyControl } from "../service/plan/from-controls.js";

/** Results of the latest controls pass of a path. */
export interface HeardControls {
  readonly pass: Round;
  readonly path: RoundPath;
}

/**
 * The controls of every path, by its latest controls pass.
 *
 * @param folder of the desk
 * @param skipped takes each pass that was skipped, in words
 * @param before only passes before that day, YYYY-MM-DD
 * @param unread takes the names of those of them that no whole pass followed
 */
export async function readLatestControls(
  folder: string,
  skipped: string[],
  before?: string,
  unread: string[] = [],
): Promise<readonly HeardControls[]> {
  const passes = getControlsPassFolder(folder);
  const latest = new Map<string, HeardControls>();
  for (const id of listRounds(passes)) {
    if (before !== undefined && id.slice(0, 10) >= before) continue;
    try {
      const pass = await readRound(passes, id);
      // It says anew what those before it said.
      if (pass.partial === undefined) unread.length = 0;
      for (const path of pass.paths) {
        if (path.controls !== undefined) latest.set(path.path, { pass, path });
      }
    } catch (error) {
      if (!(error instanceof DeskroundError)) throw error;
      skipped.push(formatPassedOver(error));
      unread.push(id);
    }
  }
  return [...latest.values()];
}

/**
 * Controls that need attention, by the latest controls pass of each path. A pass made before the
 * last work on a strip no longer counts for it.
 *
 * @param skipped takes each pass that was skipped, in words
 * @param unread takes the names of those of them that no whole pass followed
 */
export async function listFaultyControls(
  folder: string,
  { entries }: Notebook,
  skipped: string[],
  unread: string[] = [],
): Promise<readonly FaultyControl[]> {
  const latest = await readLatestControls(folder, skipped, undefined, unread);
  const repaired = (strip: string, date: string) =>
    entries.some(
      ({ line }) =>
        line.kind === "repair" &&
        line.strip === strip &&
        line.date.slice(0, 10) > date.slice(0, 10),
    );
  return latest.flatMap(({ pass, path: { path, strip, input, controls = [] } }) =>
    repaired(strip, pass.date)
      ? []
      : controls
          .filter(({ verdicts }) => !verdicts.includes("sound"))
          .map((report) => ({ pass: pass.id, date: pass.date, path, strip, input, report })),
  );
}
