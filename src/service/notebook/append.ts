import { randomBytes } from "node:crypto";
import {
  closeSync,
  existsSync,
  fstatSync,
  fsyncSync,
  ftruncateSync,
  mkdirSync,
  openSync,
  readSync,
  writeSync,
} from "node:fs";
import { dirname } from "node:path";
import { assertOwnFile, type OwnKind } from "../../assert-own-file.js";
import { DeskroundError } from "../../errors.js";
import { getErrorReason } from "../../get-error-reason.js";
import { formatCommand } from "../../text/program-name.js";
import { flushFolder } from "../../write-file-atomic.js";
import { getNotebookFile } from "./notebook-file.js";
import { readNotebook } from "./read.js";
import { lineStart } from "./read-note-lines.js";
import type { NewNote, Notebook } from "./types.js";

/**
 * Appends lines to a desk's notebook and waits until they are on disk. All go in one write to the
 * current end of the file, so that two writers do not disturb each other; existing lines are never
 * changed.
 *
 * @param folder the desk's folder
 *
 * @param lines new notes; their numbers are assigned here
 * @returns the ids of the lines, and the notebook with them
 * @throws DeskroundError `cannot-write`, `notebook-file`; none of the lines counts as noted then
 */
export function appendToNotebook(
  folder: string,
  lines: readonly NewNote[],
): { readonly ids: readonly string[]; readonly notebook: Notebook } {
  const before = readNotebook(folder);
  const { lastNumber } = before;
  if (lastNumber === 0) assertOwnFile(getNotebookFile(folder), notebookKind);
  const keys = lines.map(() => randomBytes(6).toString("hex"));
  const keyOf = new Map(before.entries.map(({ id, line }) => [id, line.key]));
  const texts = lines.map((line, k) => {
    const { date, who, kind, ...rest } = line;
    const id = `n${lastNumber + 1 + k}`;
    const head = { note: 1, id, key: keys[k], date, ...(who ? { who } : {}), kind };
    return JSON.stringify({ ...head, ...rest, ...meantKey(line, keyOf) });
  });
  appendTexts(getNotebookFile(folder), texts);
  const notebook = readNotebook(folder);
  const idOf = new Map(
    [...notebook.entries, ...notebook.log].map(({ id, line }) => [line.key, id]),
  );
  return { ids: keys.map((key, k) => idOf.get(key) ?? `n${lastNumber + 1 + k}`), notebook };
}

/** The key of the note that a line closes or corrects; old notes have none. */
function meantKey(
  line: NewNote,
  keyOf: ReadonlyMap<string, string | undefined>,
): { closesKey?: string; correctsKey?: string; countsKey?: string } {
  if (line.kind === "close") {
    const key = keyOf.get(line.closes ?? "");
    return key === undefined ? {} : { closesKey: key };
  }
  if (line.kind === "count") {
    const key = keyOf.get(line.counts);
    return key === undefined ? {} : { countsKey: key };
  }
  const key = line.kind === "correct" ? keyOf.get(line.corrects) : undefined;
  return key === undefined ? {} : { correctsKey: key };
}

/** Recognises a notebook, even if empty or cut off in its first line. */
const notebookKind: OwnKind = {
  what: "notebook",
  isOwn: (head) => {
    const start = head.toString("utf8", 0, lineStart.length);
    return lineStart.startsWith(start);
  },
};

function appendTexts(file: string, texts: readonly string[]): void {
  let isWritten = false;
  try {
    mkdirSync(dirname(file), { recursive: true });
    const isNew = !existsSync(file);
    const handle = openSync(file, "a+");
    try {
      const state = fstatSync(handle);
      if (!state.isFile()) throw Object.assign(new Error("not a regular file"), { code: "EISDIR" });
      // A line left unfinished by a crash stays separate.
      const start = endsLine(handle, state.size) ? "" : "\n";
      const bytes = Buffer.from(`${start}${texts.join("\n")}\n`, "utf8");
      const written = writeSync(handle, bytes, 0, bytes.length, null);
      if (written < bytes.length) {
        takeBack(handle, state.size, written);
        throw Object.assign(new Error("written in part only"), { code: "ENOSPC" });
      }
      isWritten = true;
      fsyncSync(handle);
    } finally {
      closeSync(handle);
    }
    if (isNew) flushFolder(dirname(file));
  } catch (error) {
    if (isWritten) {
      throw new DeskroundError(
        "cannot-write",
        `${file} was written, but it may not survive a power cut: ${getErrorReason(error)}.`,
        `Look at it with \`${formatCommand("note list")}\` before you note it again, and check the disk.`,
        error,
      );
    }
    throw new DeskroundError(
      "cannot-write",
      `Cannot write ${file}: ${getErrorReason(error)}.`,
      "Check the folder's permissions and the space left, then note it again.",
      error,
    );
  }
}

/** Removes lines written before an error, so that they are not there twice when noted again. */
function takeBack(handle: number, size: number, written: number): void {
  // If another program has appended meanwhile, nothing is removed.
  if (fstatSync(handle).size === size + written) ftruncateSync(handle, size);
}

function endsLine(handle: number, size: number): boolean {
  if (size === 0) return true;
  const last = Buffer.alloc(1);
  readSync(handle, last, 0, 1, size - 1);
  return last[0] === 0x0a;
}
