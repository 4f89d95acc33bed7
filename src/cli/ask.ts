import type { Command } from "commander";
import { DeskroundError } from "../errors.js";
import { printMessage } from "./output.js";

/** Whether there is somebody at a terminal to ask. */
export function canAsk(): boolean {
  return process.stdin.isTTY === true && process.stderr.isTTY === true;
}

/** Asks on the terminal; anything except yes means no, and so does the end of the input. */
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

/** Commands that accept any day, as they write nothing. */
export const forAnyDay: readonly string[] = ["plan", "missing", "list", "status", "show"];

interface DayOptions {
  readonly date?: string;
  readonly noticed?: string;
  readonly future?: true;
  readonly json?: boolean;
}

/** Whether the user said that days in the future are intended. */
export function isFutureMeant({ future }: Pick<DayOptions, "future">): boolean {
  return future === true || process.env.DESKROUND_FUTURE === "yes";
}

/** Asks about days in the future; without a terminal the answer is no. */
export async function askDays(
  days: readonly string[],
  { json }: Pick<DayOptions, "json">,
): Promise<boolean> {
  if (!canAsk() || json) return false;
  const one = days.length === 1;
  printMessage(
    `${days.slice(0, 5).join(", ")} ${one ? "is" : "are"} in the future according to this computer's clock.`,
  );
  return askYesNo(one ? "Is that day right?" : "Are those days right?");
}

/**
 * Asks about a day in the future, which is usually a slip. Without a terminal it is refused, unless
 * `--future` or the environment says that it is intended.
 *
 * @throws DeskroundError `usage`
 */
export async function confirmDay(command: Command): Promise<void> {
  const options: DayOptions = command.opts();
  const { date, noticed } = options;
  if (forAnyDay.includes(command.name()) || isFutureMeant(options)) return;
  const { isFutureDay } = await import("../jobs/wall-time.js");
  const day = [date, noticed].find(
    (one) => typeof one === "string" && isFutureDay(one, new Date()),
  );
  if (day === undefined) return;
  if (await askDays([day], options)) return;
  throw new DeskroundError(
    "usage",
    `${day} is in the future according to this computer's clock. Nothing was done.`,
    "Give another day, or set the computer's clock. If the day is right, add --future.",
  );
}
