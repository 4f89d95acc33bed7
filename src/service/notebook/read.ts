import { readWithdrawn } from "../../history/withdrawn.js";
import { joinNoteLines } from "./join-note-lines.js";
import { getNotebookFile, readNotebookBytes } from "./notebook-file.js";
import { readNoteLines } from "./read-note-lines.js";
import type { Notebook } from "./types.js";

/**
 * Reads a desk's notebook; if there is none, it is empty. Notes closed by a withdrawn round are
 * open again.
 *
 * @param folder the desk's folder
 * @throws DeskroundError `notebook-file` if the file cannot be read; a damaged line is only listed
 * and skipped; `round-file` if the list of withdrawn rounds cannot be read
 */
export function readNotebook(folder: string): Notebook {
  const file = getNotebookFile(folder);
  const bytes = readNotebookBytes(file);
  if (bytes === undefined) return parseNotebook(new Uint8Array(), file);
  return parseNotebook(bytes, file, readWithdrawn(folder));
}

/**
 * The same for the file's bytes.
 *
 * @param file for messages
 *
 * @param setAside ids of withdrawn rounds
 */
export function parseNotebook(
  bytes: Uint8Array,
  file: string,
  setAside: { readonly has: (round: string) => boolean } = new Set<string>(),
): Notebook {
  return joinNoteLines(readNoteLines(bytes), file, setAside);
}
