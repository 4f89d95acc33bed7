import {
  closeSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
  writeSync,
} from "node:fs";
import { join } from "node:path";
import { DeskroundError } from "../errors.js";
import { getErrorCode, getErrorReason } from "../get-error-reason.js";
import { readRegularFile } from "../read-regular-file.js";
import { flushFolder } from "../write-file-atomic.js";
import type { Decision } from "./types.js";

/** How a sitting started. */
export interface SittingHead {
  readonly kind: "sitting";
  readonly version: 1;
  /** ISO 8601. */
  readonly date: string;
  /** File or folder that is followed, absolute. */
  readonly target: string;
  /** Names in its folder that do not belong to the sitting. */
  readonly leftAlone: readonly string[];
  /** The only paths wanted; if absent, all paths of the desk. */
  readonly wanted?: readonly string[];
}

/** A line of a sitting's journal. */
export type JournalLine = SittingHead | Decision | SittingEnd;

export interface SittingEnd {
  readonly kind: "end";
  /** The round that it became; absent if it was given up. */
  readonly round?: string;
}

/** A sitting as its journal records it. */
export interface StoredSitting {
  readonly id: string;
  readonly head: SittingHead;
  readonly decisions: readonly Decision[];
  readonly end?: SittingEnd;
}

/** A journal open for writing. */
export interface Journal {
  readonly id: string;
  /** Waits until the line is on the disk. */
  append(line: Decision | SittingEnd): void;
}

/** The folder of a desk's sittings. */
export function getSittingsFolder(folder: string): string {
  return join(folder, "sittings");
}

/** A journal of some thousand lines is far below this, bytes. */
const largestJournal = 10_000_000;

/**
 * The last sitting of a desk that was not ended.
 *
 * @param folder the desk's folder
 * @param target absolute, as in its head
 */
export function findOpenSitting(folder: string, target: string): StoredSitting | undefined {
  for (const id of [...listSittings(folder)].reverse()) {
    const stored = readSitting(folder, id);
    if (stored?.head.target === target) return stored.end === undefined ? stored : undefined;
  }
  return undefined;
}

function listSittings(folder: string): readonly string[] {
  try {
    return readdirSync(getSittingsFolder(folder))
      .filter((name) => /^\d{4}-\d{2}-\d{2}-\d{2,}\.jsonl$/.test(name))
      .map((name) => name.slice(0, -".jsonl".length))
      .sort();
  } catch {
    return [];
  }
}

/** A sitting; a line that a crash cut off is skipped, and undefined is one without a head. */
export function readSitting(folder: string, id: string): StoredSitting | undefined {
  const file = journalFile(folder, id);
  const text = Buffer.from(readRegularFile(file, largestJournal)).toString("utf8");
  const lines = text.split("\n").flatMap((line): JournalLine[] => {
    try {
      const value: unknown = JSON.parse(line);
      return isLine(value) ? [value] : [];
    } catch {
      return [];
    }
  });
  const [head] = lines;
  if (head?.kind !== "sitting") return undefined;
  const end = lines.find((line): line is SittingEnd => line.kind === "end");
  const decisions = lines.filter(
    (line): line is Decision => line.kind !== "sitting" && line.kind !== "end",
  );
  return { id, head, decisions, ...(end === undefined ? {} : { end }) };
}

const kinds: ReadonlySet<string> = new Set<JournalLine["kind"]>([
  "sitting",
  "take",
  "assign",
  "next",
  "skip",
  "silent",
  "renamed",
  "lost",
  "end",
]);

function isLine(value: unknown): value is JournalLine {
  return (
    typeof value === "object" &&
    value !== null &&
    kinds.has(String((value as { kind?: unknown }).kind))
  );
}

/**
 * Starts a journal under the first free number of its day.
 *
 * @throws DeskroundError `cannot-write`
 */
export function beginJournal(folder: string, head: SittingHead): Journal {
  const day = head.date.slice(0, 10);
  for (let number = 1; ; number++) {
    const id = `${day}-${String(number).padStart(2, "0")}`;
    const file = journalFile(folder, id);
    try {
      mkdirSync(getSittingsFolder(folder), { recursive: true });
      if (existsSync(file)) continue;
      writeFileSync(file, "", { flag: "wx" });
      flushFolder(getSittingsFolder(folder));
    } catch (error) {
      if (getErrorCode(error) === "EEXIST") continue;
      throw cannotWrite(file, error);
    }
    const journal = openJournal(folder, id);
    appendLine(file, head);
    return journal;
  }
}

/** Opens a journal to continue it. */
export function openJournal(folder: string, id: string): Journal {
  const file = journalFile(folder, id);
  return { id, append: (line) => appendLine(file, line) };
}

function journalFile(folder: string, id: string): string {
  return join(getSittingsFolder(folder), `${id}.jsonl`);
}

function appendLine(file: string, line: JournalLine): void {
  try {
    const before = readFileSync(file);
    const handle = openSync(file, "a");
    try {
      // A line that a crash left unfinished stays separate.
      const start = before.length === 0 || before.at(-1) === 0x0a ? "" : "\n";
      const bytes = Buffer.from(`${start}${JSON.stringify(line)}\n`);
      if (writeSync(handle, bytes, 0, bytes.length, null) < bytes.length) {
        throw Object.assign(new Error("written in part only"), { code: "ENOSPC" });
      }
      fsyncSync(handle);
    } finally {
      closeSync(handle);
    }
  } catch (error) {
    throw cannotWrite(file, error);
  }
}

function cannotWrite(file: string, error: unknown): DeskroundError {
  return new DeskroundError(
    "cannot-write",
    `Cannot write ${file}: ${getErrorReason(error)}.`,
    "Check the folder's permissions and the space left; the recording itself is not touched.",
    error,
  );
}

/**
 * A listening program touches its claim at this interval; one older than `staleMs` was left behind.
 */
const touchMs = 3000;
const staleMs = 20_000;

/**
 * Claims a desk for one sitting at a time. A claim left by a killed program is taken over if its
 * process is gone or nobody has touched it for a while.
 *
 * @returns a function that releases it
 * @throws DeskroundError `usage` if another program is listening
 */
export function claimDesk(folder: string): () => void {
  const file = join(getSittingsFolder(folder), "listening.pid");
  for (let turn = 0; turn < 2; turn++) {
    try {
      mkdirSync(getSittingsFolder(folder), { recursive: true });
      writeFileSync(file, `${process.pid}\n`, { flag: "wx" });
      const touching = setInterval(() => touch(file), touchMs);
      touching.unref();
      return () => {
        clearInterval(touching);
        rmSync(file, { force: true });
      };
    } catch (error) {
      if (getErrorCode(error) !== "EEXIST") throw cannotWrite(file, error);
    }
    const other = readClaim(file);
    if (other !== undefined) {
      throw new DeskroundError(
        "usage",
        `Another deskround (process ${other}) is already listening for this desk.`,
        "End it there, or wait until it has ended.",
      );
    }
    rmSync(file, { force: true });
  }
  throw new DeskroundError(
    "usage",
    "Another deskround is already listening for this desk.",
    "Try again.",
  );
}

/** The process that holds a claim; undefined for one that was left behind. */
function readClaim(file: string): number | undefined {
  try {
    const pid = Number(readFileSync(file, "utf8").trim());
    const isFresh = Math.abs(Date.now() - statSync(file).mtimeMs) < staleMs;
    return isFresh && isAlive(pid) ? pid : undefined;
  } catch {
    return undefined;
  }
}

function touch(file: string): void {
  try {
    const now = new Date();
    utimesSync(file, now, now);
  } catch {
    // The disk is gone; the sitting itself reports that.
  }
}

function isAlive(pid: number): boolean {
  if (!Number.isInteger(pid) || pid <= 0) return false;
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return getErrorCode(error) === "EPERM";
  }
}
