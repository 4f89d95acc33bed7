import { fstatSync, writeSync } from "node:fs";
import { DeskroundError } from "../errors.js";
import { getErrorReason } from "../get-error-reason.js";
import { formatDamagedLine } from "../report/damaged-line.js";
import type { ReportStyle } from "../report/round.js";
import { wrapText } from "../report/wrap.js";
import type { Notebook } from "../service/notebook/types.js";
import { collapseSpace } from "../text/collapse-space.js";
import { replaceUnseen } from "../text/unseen.js";

/** Only results go to stdout. */
export function printResult(text: string): void {
  writeStdout(text.endsWith("\n") ? text : `${text}\n`);
}

/**
 * Writes the whole text to stdout. Node treats a partial write to a file as complete, so on a full
 * disk the rest would be lost silently; here a file is written to the end.
 *
 * @throws DeskroundError `cannot-write` if stdout is a file that cannot take it
 */
export function writeStdout(text: string): void {
  const { fd } = process.stdout;
  if (!fstatSync(fd).isFile()) {
    process.stdout.write(text);
    return;
  }
  let rest: Uint8Array = Buffer.from(text);
  try {
    while (rest.length > 0) rest = rest.subarray(writeSync(fd, rest));
  } catch (error) {
    throw createLostResultError(error);
  }
}

/** The error for a result that could not be written to stdout. */
export function createLostResultError(error: unknown): DeskroundError {
  return new DeskroundError(
    "cannot-write",
    `Cannot write the result: ${getErrorReason(error)}.`,
    "Check the free space where the output goes; what was stored is safe.",
    error,
  );
}

/**
 * A report for people. This program's own colours are kept; anything else that could act on the
 * terminal is removed, since it can only come from a file.
 */
export function printReport(text: string): void {
  const style = getReportStyle();
  printResult(escapeReport(text, style));
}

/** A report in which only this program's own colours act on a terminal. */
export function escapeReport(text: string, style: Pick<ReportStyle, "colour">): string {
  const parts = style.colour === "none" ? [text] : text.split(colour);
  return parts.map((part, k) => (k % 2 === 0 ? escapeUnprintable(part) : part)).join("");
}

/**
 * "Select graphic rendition" (ECMA-48, 8.3.117) as this program uses it, kept by `split` as every
 * second part: bold, faint, three colours and their ends. Codes that hide text or paint over it can
 * only come from a file.
 */
const colour = new RegExp(`(${String.fromCharCode(27)}\\[(?:1|2|22|31|32|33|39)m)`);

/** JSON for scripts, laid out like the files on disk. */
export async function printJson(value: unknown): Promise<void> {
  const { formatJson } = await import("../history/format-json.js");
  printResult(formatJson(value));
}

/** Messages, warnings and errors go to stderr. */
export function printMessage(text: string): void {
  process.stderr.write(`${escapeUnprintable(text)}\n`);
}

/**
 * An error in one line, what to do next in a second; `debug` adds where it was thrown. The wording
 * of warnings depends on every reading, so it is loaded only for an error that has warnings; any
 * other is printed before the first await.
 */
export async function printError(error: unknown, debug: "debug" | "plain"): Promise<void> {
  if (error instanceof DeskroundError) {
    const hint = error.doubts.length === 0 ? error.hint : await wordHint(error);
    printErrorLines([error.message, ...(hint === undefined ? [] : [hint])]);
  } else {
    const what = error instanceof Error ? error.message : String(error);
    const next = "The same command with --debug shows where; please report it.";
    printErrorLines([
      `This is a fault in deskround itself: ${what}`,
      ...(debug === "plain" ? [next] : []),
    ]);
  }
  if (debug === "debug") printMessage(error instanceof Error ? stackOf(error) : String(error));
}

async function wordHint(error: DeskroundError): Promise<string | undefined> {
  const { formatErrorHint } = await import("../report/doubts/format-error-hint.js");
  return formatErrorHint(error);
}

/**
 * What is wrong, and under it what to do. Lines are wrapped only on a terminal, so that a message
 * in a log can be searched for as a whole.
 */
export function printErrorLines([first, ...hints]: readonly string[]): void {
  const { isTTY, columns = 0 } = process.stderr;
  const width = isTTY && columns >= 20 ? columns : Number.MAX_SAFE_INTEGER;
  for (const line of [
    ...wrapText(oneLine(first), width, "deskround: ", "  "),
    ...hints.flatMap((hint) => wrapText(oneLine(hint), width, "  ")),
  ]) {
    printMessage(line);
  }
}

/** Columns if no terminal says how many it has, or says 0. */
const usualWidth = 80;

/** How a report may look on a stream; NO_COLOR as on no-color.org. */
export function getReportStyle(
  out: { readonly isTTY?: boolean; readonly columns?: number } = process.stdout,
  env: NodeJS.ProcessEnv = process.env,
): ReportStyle {
  const terminal = out.isTTY === true;
  const plain = !terminal || (env.NO_COLOR ?? "") !== "" || env.TERM === "dumb";
  return { colour: plain ? "none" : "ansi", width: (terminal && out.columns) || usualWidth };
}

/** Whether stdout can show more than ASCII, judging by the language settings. */
export function getTerminalLetters(
  env: NodeJS.ProcessEnv = process.env,
  platform: NodeJS.Platform = process.platform,
): "unicode" | "ascii" {
  if (env.TERM === "dumb" || env.TERM === "linux") return "ascii";
  if (platform === "win32" || platform === "darwin") return "unicode";
  // The first variable that is set decides (POSIX, 8.2).
  const language = [env.LC_ALL, env.LC_CTYPE, env.LANG].find((one) => (one ?? "") !== "") ?? "";
  return /utf-?8/i.test(language) ? "unicode" : "ascii";
}

/** A text without characters that move the cursor or reverse text; line breaks stay. */
export function escapeUnprintable(text: string): string {
  return replaceUnseen(text, (sign) => (sign === "\n" ? sign : "\uFFFD"));
}

function oneLine(text: string): string {
  return collapseSpace(text);
}

function stackOf(error: Error): string {
  const own = error.stack ?? error.message;
  return error.cause instanceof Error ? `${own}\ncaused by ${stackOf(error.cause)}` : own;
}

/** Reports which lines of the notebook could not be read. */
export function tellDamage(notebook: Pick<Notebook, "file" | "damaged">): void {
  for (const line of notebook.damaged) printMessage(formatDamagedLine(notebook, line));
}
