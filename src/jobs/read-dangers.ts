import { getDeskFolder } from "../desk/desk-file.js";
import type { DeskSection } from "../desk/section-kinds.js";
import type { OpenDanger } from "../service/notebook/open-dangers.js";
import { readKnownNotebook } from "../service/notebook/read-known.js";
import type { Entry } from "../service/notebook/types.js";

/**
 * The dangers that open notes speak of. The words of dangers are loaded only for a desk that has
 * open notes.
 *
 * @param desk folder that holds desk.yaml, or the desk file itself
 * @param sections of the desk, for the signal flow
 * @param entries the notes, if already read; otherwise reads the notebook
 * @throws DeskroundError `notebook-file` when the notebook cannot be read
 */
export async function readDangers(
  desk: string,
  sections: readonly DeskSection[] = [],
  entries?: readonly Entry[],
): Promise<readonly OpenDanger[]> {
  const notes = entries ?? (await readKnownNotebook(getDeskFolder(desk))).entries;
  if (notes.every(({ closed }) => closed !== undefined)) return [];
  const { listOpenDangers } = await import("../service/notebook/open-dangers.js");
  return listOpenDangers(notes, sections);
}
