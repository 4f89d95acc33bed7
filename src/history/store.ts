import { accessSync, constants, lstatSync, readdirSync, statSync } from "node:fs";
import { join } from "node:path";
import { DeskroundError } from "../errors.js";
import { readRegularFile } from "../read-regular-file.js";
import { formatCommand } from "../text/program-name.js";
import { writeFileAtomic } from "../write-file-atomic.js";
import { readChecked } from "./checked/read-checked.js";
import { formatJson } from "./format-json.js";
import { formatIssuePath } from "./issue-place.js";
import { migrate, roundMigrations } from "./migrate.js";
import { pickRound } from "./pick.js";
import { getRoundFileState, isSettled } from "./round-file-state.js";
import { roundForStorage } from "./round-for-storage.js";
import { compareRoundIds, formatRoundId, parseRoundId } from "./round-id.js";
import { getRoundsFolder } from "./rounds-folder.js";
import type { Round } from "./types.js";
import { readWithdrawn, type Withdrawal } from "./withdrawn.js";

/**
 * Folder of the rounds of controls passes: separate, in the same form, since they are never compared,
 * ranked or used in trends.
 *
 * @param folder the desk's folder
 */
export function getControlsPassFolder(folder: string): string {
  return join(folder, "controls");
}

/** Version of the round file that this program writes, and the newest it can read. */
const newestVersion = 1;
/** The longest text that JSON is read from, bytes; a round of 800 paths has some 20 million. */
const largestRound = 500_000_000;
/** Smaller files are quick to read and check, bytes. */
const worthKeeping = 300_000;

/**
 * Stores a round as `rounds/<date>-<nn>.json`, under the first number of its day that is free,
 * whole or not at all. Two programs storing at once get two numbers.
 *
 * @param folder the desk's folder
 * @param round all but its id; `date` begins with the day, YYYY-MM-DD
 * @returns the round as it is on disk: with its id, its numbers rounded
 * @throws DeskroundError `cannot-write`
 */
export function storeRound(folder: string, round: Omit<Round, "id">): Round {
  const day = round.date.slice(0, 10);
  const kept = roundForStorage(round);
  for (let number = highestNumber(folder, day) + 1; ; number++) {
    const id = formatRoundId({ day, number });
    if (parseRoundId(id) === undefined) throw new Error(`"${id}" cannot name a round`);
    const { format, version, ...rest } = kept;
    const stored: Round = { format, version, id, ...rest };
    if (writeFileAtomic(getRoundFile(folder, id), formatJson(stored), "new") === "written")
      return stored;
  }
}

/**
 * Checks that a round could be stored, before an hour of recordings is measured for it. Nothing is
 * made or changed.
 *
 * @param folder the desk's folder
 * @throws DeskroundError `cannot-write`
 */
export function assertStorable(folder: string): void {
  const rounds = getRoundsFolder(folder);
  const kind = statSync(rounds, { throwIfNoEntry: false });
  const why =
    kind === undefined && isLink(rounds)
      ? danglingLink
      : kind?.isDirectory() === false
        ? "it is a file"
        : denied(kind === undefined ? folder : rounds);
  if (why === undefined) return;
  throw new DeskroundError(
    "cannot-write",
    `Rounds cannot be stored in ${rounds}: ${why}.`,
    "Check the folder and its permissions; with --preview nothing is stored.",
  );
}

const danglingLink =
  "it is a link to something that does not exist, such as a disk that is not connected";

function isLink(file: string): boolean {
  return lstatSync(file, { throwIfNoEntry: false })?.isSymbolicLink() === true;
}

/** A folder as it was when work on it began. */
export interface HeldFolder {
  readonly folder: string;
  readonly device: bigint;
  readonly inode: bigint;
}

/** Remembers which folder a name refers to. */
export function holdFolder(folder: string): HeldFolder {
  const { dev, ino } = statSync(folder, { bigint: true });
  return { folder, device: dev, inode: ino };
}

/**
 * Checks that a folder is still the same: if its disk was removed in the meantime, the folder is
 * missing or an empty mount point, and files written there would be hidden later.
 *
 * @throws DeskroundError `cannot-write`
 */
export function assertHeld({ folder, device, inode }: HeldFolder): void {
  const now = statSync(folder, { bigint: true, throwIfNoEntry: false });
  if (now !== undefined && now.dev === device && now.ino === inode) return;
  throw new DeskroundError(
    "cannot-write",
    now === undefined
      ? `The desk's folder ${folder} is no longer there.`
      : `The desk's folder ${folder} is not the one that it was when the work began.`,
    "Nothing was stored. If its disk was disconnected, connect it and run the same command again.",
  );
}

function denied(folder: string): string | undefined {
  try {
    accessSync(folder, constants.W_OK | constants.X_OK);
    return undefined;
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    return code === "EROFS" ? "the disk is read-only" : "permission denied";
  }
}

/** Ids of a desk's rounds that count, oldest first: without those that were withdrawn. */
export function listRounds(folder: string): readonly string[] {
  const all = listAllRounds(folder);
  if (all.length === 0) return all;
  const withdrawn = readWithdrawn(folder);
  return withdrawn.size === 0 ? all : all.filter((id) => !withdrawn.has(id));
}

/** Ids of all rounds of a desk, oldest first; none when nothing was stored yet. */
export function listAllRounds(folder: string): readonly string[] {
  let names: string[];
  try {
    names = readdirSync(getRoundsFolder(folder));
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === "ENOENT" && isLink(getRoundsFolder(folder))) {
      throw new DeskroundError(
        "round-file",
        `The rounds in ${getRoundsFolder(folder)} cannot be reached: ${danglingLink}.`,
        "Connect the disk, or make the link lead to the rounds.",
        error,
      );
    }
    if (code === "ENOENT" || code === "ENOTDIR") return [];
    throw new DeskroundError(
      "round-file",
      `Cannot read the folder ${getRoundsFolder(folder)} (${code}).`,
      "Check its permissions.",
      error,
    );
  }
  return names
    .filter((name) => name.endsWith(".json"))
    .map((name) => name.slice(0, -".json".length))
    .filter((name) => parseRoundId(name) !== undefined)
    .sort(compareRoundIds);
}

/**
 * Reads a stored round and checks it.
 *
 * @param folder the desk's folder
 * @param wanted id of the round, `last`, `oldest`, or a date: see {@link pickRound}
 * @param which `all` also reads a withdrawn round where its id is named
 * @throws DeskroundError `round-file`: no such round, withdrawn, written by a newer program, or
 *   damaged
 */
export async function readRound(
  folder: string,
  wanted: string,
  which: "counting" | "all" = "counting",
): Promise<Round> {
  const withdrawn = readWithdrawn(folder).get(wanted);
  if (withdrawn !== undefined && which === "counting") throw asWithdrawn(withdrawn);
  const id = withdrawn?.round ?? pickRound(listRounds(folder), wanted, folder);
  return keptRound(folder, id) ?? readAndCheck(folder, id);
}

/** Reads and checks a round's file, and caches the result if the file is large. */
async function readAndCheck(folder: string, id: string): Promise<Round> {
  const state = getRoundFileState(folder, id);
  const bytes = readRoundBytes(folder, id);
  const round = await parseRound(folder, id, bytes);
  if (bytes.length >= worthKeeping && state !== undefined && isSettled(state)) {
    const { keepChecked } = await import("./checked/keep-checked.js");
    keepChecked(folder, state, round);
  }
  return round;
}

/**
 * Checks the bytes of a round's file.
 *
 * @param id of the round that the file is to hold
 * @throws DeskroundError `round-file`: written by a newer program, or damaged
 */
export async function parseRound(folder: string, id: string, bytes: Buffer): Promise<Round> {
  const file = getRoundFile(folder, id);
  const data = parsed(file, bytes);
  const { format, version } = Object(data) as { format?: unknown; version?: unknown };
  if (format !== "deskround-round") throw damaged(file, `it is not marked as a round`);
  if (typeof version === "number" && version > newestVersion) {
    throw new DeskroundError(
      "round-file",
      `${file} was written by a newer deskround (round version ${version}, known up to ${newestVersion}).`,
      "Use that deskround, or a newer one, to read it.",
    );
  }
  const current = migrate(Object(data), newestVersion, roundMigrations);
  if (current === undefined) throw damaged(file, `it names no version that ever was (${version})`);
  const { roundSchema } = await import("./round-schema.js");
  // Compiling the schema takes longer than checking one round without compiling it.
  const result = roundSchema.safeParse(current, { jitless: true });
  if (!result.success) {
    const [issue] = result.error.issues;
    throw damaged(file, `${formatIssuePath(issue?.path ?? [])}: ${issue?.message}`);
  }
  const round: Round = result.data;
  letNamesInheritNothing(round);
  if (round.id !== id) {
    throw new DeskroundError(
      "round-file",
      `${file} holds the round ${round.id}, not ${id}.`,
      "A round's file is named after its id: rename it.",
    );
  }
  return round;
}

/** The cached round, if its file has not changed since it was checked. */
function keptRound(folder: string, id: string): Round | undefined {
  const round = readChecked(folder, id);
  if (round !== undefined) letNamesInheritNothing(round);
  return round;
}

/** Look-ups by names from a file must not find `constructor` and the like. */
function letNamesInheritNothing({ paths }: Round): void {
  for (const path of paths) {
    for (const one of [path, ...(path.partner === undefined ? [] : [path.partner])]) {
      for (const named of [one.readings, one.absent, one.absences ?? {}, one.curves]) {
        inheritNothing(named);
      }
    }
    for (const take of path.otherTakes ?? []) inheritNothing(take.readings);
  }
}

function inheritNothing(named: object): void {
  Object.setPrototypeOf(named, null);
}

function asWithdrawn({ round, date, because }: Withdrawal): DeskroundError {
  return new DeskroundError(
    "round-file",
    `Round ${round} was withdrawn on ${date.slice(0, 10)} (${because}): it does not count.`,
    `\`${formatCommand(`withdraw ${round} --undo`)}\` makes it count again.`,
  );
}

/** The file of a round as it is. @throws DeskroundError `round-file` if it cannot be read */
export function readRoundBytes(folder: string, id: string): Buffer {
  const file = getRoundFile(folder, id);
  try {
    return readRegularFile(file, largestRound);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    throw new DeskroundError(
      "round-file",
      `Cannot read ${file} (${code ?? (error as Error).message}).`,
      `Check its permissions; \`${formatCommand("show --list")}\` lists all rounds.`,
      error,
    );
  }
}

function parsed(file: string, bytes: Buffer): unknown {
  try {
    return JSON.parse(bytes.toString("utf8"));
  } catch (error) {
    throw damaged(file, "it is not complete JSON", error);
  }
}

function damaged(file: string, what: string, cause?: unknown): DeskroundError {
  return new DeskroundError(
    "round-file",
    `The round ${file} is damaged: ${what}.`,
    "Put back a copy of it; the other rounds are not touched by this.",
    cause,
  );
}

function highestNumber(folder: string, day: string): number {
  const numbers = listAllRounds(folder)
    .map(parseRoundId)
    .filter((parts) => parts?.day === day)
    .map((parts) => parts?.number ?? 0);
  return Math.max(0, ...numbers);
}

/** The file that a round is kept in. */
export function getRoundFile(folder: string, id: string): string {
  return getRoundsFolder(folder, `${id}.json`);
}
