import { getDeskFolder, nameFolder } from "../desk/desk-file.js";
import { findClosestWord } from "../desk/paths.js";
import { DeskroundError } from "../errors.js";
import { listFutureRounds } from "../history/clock.js";
import { listAllRounds } from "../history/store.js";
import { readWithdrawn, type Withdrawal, writeWithdrawn } from "../history/withdrawn.js";
import { readNotebook } from "../service/notebook/read.js";
import { collapseSpace } from "../text/collapse-space.js";
import { formatCommand } from "../text/program-name.js";
import { getDate } from "./wall-time.js";

/** A withdrawn round. */
export interface WithdrawnRound extends Withdrawal {
  /** Number of faults that it had proved repaired: these are reopened. */
  readonly reopened: number;
}

export interface WithdrawRequest {
  /** The desk's folder, or the desk file. */
  readonly desk: string;
  /** Id of a round, or `last`. */
  readonly round: string;
  /** Why it does not count. */
  readonly because: string;
  /** YYYY-MM-DD; now when absent. */
  readonly date?: string;
}

const longestReason = 200;

/**
 * Withdraws a mistaken round: it stays on disk, but no list, comparison, check, trend or plan
 * counts it. Faults that it proved repaired are reopened.
 *
 * @throws DeskroundError `usage`: no such round, withdrawn already, or no reason; `round-file`,
 * `notebook-file`
 *   where the list of withdrawn rounds or the notebook cannot be read; `cannot-write`
 */
export function withdrawRound({ desk, round, because, date }: WithdrawRequest): WithdrawnRound {
  const folder = getDeskFolder(desk);
  const withdrawn = readWithdrawn(folder);
  const id = findRound(
    folder,
    round,
    [...listAllRounds(folder)].filter((one) => !withdrawn.has(one)),
  );
  const known = withdrawn.get(id);
  if (known !== undefined) {
    throw new DeskroundError(
      "usage",
      `Round ${id} was withdrawn already, on ${known.date.slice(0, 10)}: ${known.because}.`,
      `\`${formatCommand(`withdraw ${id} --undo`)}\` makes it count again.`,
    );
  }
  const reason = collapseSpace(because);
  if (reason === "" || reason.length > longestReason) {
    throw new DeskroundError(
      "usage",
      reason === ""
        ? `No reason is given why round ${id} does not count.`
        : `The reason has more than ${longestReason} characters.`,
      `For example: ${formatCommand('withdraw last "strip 11 was skipped"')}`,
    );
  }
  const withdrawal = { round: id, date: getDate(date), because: reason };
  const { entries, closings } = readNotebook(folder);
  const closed = [...entries.map((entry) => entry.closed), ...closings];
  writeWithdrawn(folder, withdrawal);
  return { ...withdrawal, reopened: closed.filter((line) => line?.round === id).length };
}

/**
 * Makes a withdrawn round count again.
 *
 * @returns its id
 * @throws DeskroundError `usage`: it was not withdrawn
 */
export function restoreRound(desk: string, round: string): string {
  const folder = getDeskFolder(desk);
  const withdrawn = readWithdrawn(folder);
  const id = findRound(folder, round, [...withdrawn.keys()].sort());
  if (!withdrawn.has(id)) {
    throw new DeskroundError(
      "usage",
      `Round ${id} was not withdrawn: it counts.`,
      `\`${formatCommand("show --list")}\` lists the rounds.`,
    );
  }
  writeWithdrawn(folder, id);
  return id;
}

/** Rounds dated after today by this computer's clock, and today's date. */
export function listRoundsAhead(
  desk: string,
): readonly { readonly round: string; readonly today: string }[] {
  const today = getDate(undefined).slice(0, 10);
  return listFutureRounds(getDeskFolder(desk), today).map((round) => ({ round, today }));
}

function findRound(folder: string, text: string, candidates: readonly string[]): string {
  const all = listAllRounds(folder);
  const id = text === "last" ? candidates.at(-1) : all.find((one) => one === text.trim());
  if (id !== undefined) return id;
  const like = findClosestWord(text, all);
  throw new DeskroundError(
    "usage",
    text === "last"
      ? `There is no such round in ${nameFolder(folder)}.`
      : `No round "${text}" is stored in ${nameFolder(folder)}.`,
    `${like === undefined ? "" : `Did you mean ${like}? `}\`${formatCommand("show --list")}\` lists all.`,
  );
}
