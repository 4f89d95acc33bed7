import {
  closeSync,
  existsSync,
  fstatSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readSync,
  writeSync,
} from "node:fs";
import { dirname } from "node:path";
import { isDeepStrictEqual } from "node:util";
import { assertOwnFile, type OwnKind } from "../../assert-own-file.js";
import { DeskroundError } from "../../errors.js";
import { getErrorReason } from "../../get-error-reason.js";
import { flushFolder } from "../../write-file-atomic.js";
import { getNotebookFile, lineStart, readNotebook } from "./read.js";
import type { NewNote, Notebook } from "./types.js";

/**
 * Appends lines to a desk's notebook and waits until they are on the disk. All go in one write to
 * the end of the file, wherever that is by then, so that of two writers neither disturbs the other;
 * nothing that is there is ever changed.
 *
 * @param folder the desk's folder
 * @param lines what to note; numbers are given here
 * @returns the ids of the lines, and the notebook with them
 * @throws DeskroundError `cannot-write`, `notebook-file`; none of the lines counts as noted then
 */
export function appendToNotebook(
  folder: string,
  lines: readonly NewNote[],
): { readonly ids: readonly string[]; readonly notebook: Notebook } {
  const { lastNumber } = readNotebook(folder);
  if (lastNumber === 0) assertOwnFile(getNotebookFile(folder), notebookKind);
  const texts = lines.map((line, k) => {
    const { date, who, kind, ...rest } = line;
    const head = { note: 1, id: `n${lastNumber + 1 + k}`, date, ...(who ? { who } : {}), kind };
    return JSON.stringify({ ...head, ...rest });
  });
  appendTexts(getNotebookFile(folder), texts);
  const notebook = readNotebook(folder);
  return { ids: lines.map((_, k) => idOf(texts[k], notebook, `n${lastNumber + 1 + k}`)), notebook };
}

/** What the notebook calls a line: its number, unless another took that in the same instant. */
function idOf(text: string, { entries }: Notebook, given: string): string {
  const own = entries.filter(({ line }) => line.id === given);
  const mine = own.findLast(({ line }) => isDeepStrictEqual(line, JSON.parse(text)));
  return mine?.id ?? given;
}

/** A notebook, be it empty or cut off in its first line. */
const notebookKind: OwnKind = {
  what: "notebook",
  isOwn: (head) => {
    const start = head.toString("utf8", 0, lineStart.length);
    return lineStart.startsWith(start);
  },
};

function appendTexts(file: string, texts: readonly string[]): void {
  try {
    mkdirSync(dirname(file), { recursive: true });
    const isNew = !existsSync(file);
    const handle = openSync(file, "a+");
    try {
      const state = fstatSync(handle);
      if (!state.isFile()) throw Object.assign(new Error("no regular file"), { code: "EISDIR" });
      // What a crash left unfinished stays a line of its own.
      const start = endsLine(handle, state.size) ? "" : "\n";
      const bytes = Buffer.from(`${start}${texts.join("\n")}\n`, "utf8");
      if (writeSync(handle, bytes, 0, bytes.length, null) < bytes.length) {
        throw Object.assign(new Error("written in part only"), { code: "ENOSPC" });
      }
      fsyncSync(handle);
    } finally {
      closeSync(handle);
    }
    if (isNew) flushFolder(dirname(file));
  } catch (error) {
    throw new DeskroundError(
      "cannot-write",
      `Cannot write ${file}: ${getErrorReason(error)}.`,
      "See to the folder's permissions and the space left, then note it again.",
      error,
    );
  }
}

function endsLine(handle: number, size: number): boolean {
  if (size === 0) return true;
  const last = Buffer.alloc(1);
  readSync(handle, last, 0, 1, size - 1);
  return last[0] === 0x0a;
}
