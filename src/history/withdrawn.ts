import { existsSync } from "node:fs";
import type { OwnKind } from "../assert-own-file.js";
import { DeskroundError } from "../errors.js";
import { readRegularFile, UnreadableFileError } from "../read-regular-file.js";
import { writeFileAtomic } from "../write-file-atomic.js";
import { formatJson } from "./format-json.js";
import { getRoundsFolder } from "./rounds-folder.js";

/** A round that was set aside: it stays on disk but does not count. */
export interface Withdrawal {
  readonly round: string;
  /** ISO 8601 with time. */
  readonly date: string;
  readonly because: string;
}

interface WithdrawnFile {
  readonly format: "deskround-withdrawn";
  readonly version: 1;
  readonly rounds: readonly Withdrawal[];
}

/** Version of the file that this program writes, and the newest it can read. */
const newestVersion = 1;
/** Far more than any list of rounds needs, bytes. */
const largestList = 10_000_000;

const withdrawnKind: OwnKind = {
  what: "list of withdrawn rounds",
  isOwn: (head) => /^\{\s*"format": "deskround-withdrawn"/.test(head.toString("utf8")),
};

/**
 * The rounds of a desk that were set aside, by their ids; none if none ever was.
 *
 * @param folder the desk's folder
 * @throws DeskroundError `round-file` if the list cannot be read: a mistaken round would count
 */
export function readWithdrawn(folder: string): ReadonlyMap<string, Withdrawal> {
  const file = getWithdrawnFile(folder);
  if (!existsSync(file)) return new Map();
  let data: unknown;
  try {
    data = JSON.parse(readRegularFile(file, largestList).toString("utf8"));
  } catch (error) {
    if (error instanceof UnreadableFileError) throw damaged(file, error.message, error);
    throw damaged(file, "it is not complete JSON", error);
  }
  if (!isWithdrawnFile(data)) throw damaged(file, "it is not a list of withdrawn rounds");
  if (data.version > newestVersion) throw damaged(file, "a newer deskround wrote it");
  return new Map(data.rounds.map((one) => [one.round, one]));
}

/**
 * Sets a round aside, or counts it again.
 *
 * @param change the withdrawal, or the id of a round that is to count again
 * @throws DeskroundError `round-file`, `cannot-write`
 */
export function writeWithdrawn(folder: string, change: Withdrawal | string): void {
  const rounds = new Map(readWithdrawn(folder));
  if (typeof change === "string") rounds.delete(change);
  else rounds.set(change.round, change);
  const data: WithdrawnFile = {
    format: "deskround-withdrawn",
    version: newestVersion,
    rounds: [...rounds.values()],
  };
  writeFileAtomic(getWithdrawnFile(folder), formatJson(data), withdrawnKind);
}

function getWithdrawnFile(folder: string): string {
  return getRoundsFolder(folder, "withdrawn.json");
}

function isWithdrawnFile(data: unknown): data is WithdrawnFile {
  const { format, version, rounds } = Object(data) as Partial<WithdrawnFile>;
  return (
    format === "deskround-withdrawn" &&
    typeof version === "number" &&
    Array.isArray(rounds) &&
    rounds.every(
      ({ round, date, because }) =>
        typeof round === "string" && typeof date === "string" && typeof because === "string",
    )
  );
}

function damaged(file: string, what: string, cause?: unknown): DeskroundError {
  return new DeskroundError(
    "round-file",
    `${file} cannot be read: ${what}.`,
    "It names the rounds that do not count. Put back a copy, or delete it and withdraw them again.",
    cause,
  );
}
