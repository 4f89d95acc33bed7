import { join } from "node:path";
import { DeskroundError } from "../../errors.js";
import { readRegularFile } from "../../read-regular-file.js";

export const notebookName = "notebook.jsonl";

/** Bytes; far more than decades of notes. */
const largestNotebook = 50_000_000;

/** The notebook file in a desk's folder. */
export function getNotebookFile(folder: string): string {
  return join(folder, notebookName);
}

/**
 * The bytes of a desk's notebook; undefined if there is none.
 *
 * @param file what `getNotebookFile` returns
 * @throws DeskroundError `notebook-file` if it cannot be read
 */
export function readNotebookBytes(file: string): Buffer | undefined {
  try {
    return readRegularFile(file, largestNotebook);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === "ENOENT") return undefined;
    throw new DeskroundError(
      "notebook-file",
      `The notebook ${file} cannot be read: ${code ?? (error as Error).message}.`,
      "Check the file and its permissions.",
      error,
    );
  }
}
