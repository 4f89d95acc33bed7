import type { Command } from "commander";
import { DeskroundError } from "../errors.js";
import { printMessage } from "./output.js";

/** Whether somebody sits at a terminal who can be asked. */
export function canAsk(): boolean {
  return process.stdin.isTTY === true && process.stderr.isTTY === true;
}

/** Asks on the terminal; everything but yes is no, and so is the end of the input. */
export async function askYesNo(question: string): Promise<boolean> {
  const { createInterface } = await import("node:readline/promises");
  const ask = createInterface({ input: process.stdin, output: process.stderr, terminal: false });
  try {
    const ended = new Promise<string>((resolve) => ask.once("close", () => resolve("")));
    const answer = await Promise.race([ask.question(`${question} [y/N] `), ended]);
    return /^y(es)?$/i.test(answer.trim());
  } finally {
    ask.close();
  }
}

/**
 * Asks about a day in the future, which is a slip more often than not. A script that names one is
 * taken to mean it, and a plan may be for any day.
 *
 * @throws DeskroundError `usage` where it was a slip
 */
export async function confirmDay(command: Command): Promise<void> {
  const { date }: { readonly date?: unknown } = command.opts();
  // The notebook has its own question, which knows more.
  const isAsked = command.name() === "plan" || command.parent?.name() === "note";
  if (typeof date !== "string" || isAsked || !canAsk()) return;
  const { isFutureDay } = await import("../jobs/wall-time.js");
  if (!isFutureDay(date, new Date())) return;
  printMessage(`${date} is in the future, by this computer's clock.`);
  if (await askYesNo("Is that day meant?")) return;
  throw new DeskroundError(
    "usage",
    `Nothing was done, as ${date} is in the future.`,
    "Run the command again with another --date, or set the computer's clock.",
  );
}
