import { readKeptValue } from "../../history/checked/kept-value.js";
import { readWithdrawn } from "../../history/withdrawn.js";
import { joinNoteLines } from "./join-note-lines.js";
import { getNotebookFile, readNotebookBytes } from "./notebook-file.js";
import type { Notebook } from "./types.js";

/**
 * The same as `readNotebook`, sooner: lines that were checked before are not checked again.
 *
 * @param folder the desk's folder
 * @throws DeskroundError as `readNotebook` does
 */
export async function readKnownNotebook(folder: string): Promise<Notebook> {
  const file = getNotebookFile(folder);
  const bytes = readNotebookBytes(file);
  if (bytes === undefined) return joinNoteLines({ lines: [], damaged: [] }, file, new Set());
  const read = await readKeptValue(folder, "notebook", [bytes.toString("latin1")], async () => {
    const { readNoteLines } = await import("./read-note-lines.js");
    return readNoteLines(bytes);
  });
  return joinNoteLines(read, file, readWithdrawn(folder));
}
