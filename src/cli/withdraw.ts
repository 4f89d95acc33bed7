import type { Command } from "commander";
import { type CommonOptions, parseCalendarDay, withCommonOptions } from "./options.js";
import { printJson, printMessage } from "./output.js";

interface WithdrawOptions extends CommonOptions {
  readonly undo?: true;
  readonly date?: string;
  readonly json?: true;
}

/** The command `withdraw`. */
export function addWithdraw(program: Command): void {
  withCommonOptions(program.command("withdraw"))
    .description("set a mistaken round aside: kept on disk, but not counted")
    .argument("<round>", "id of a round, or `last`")
    .argument("[because...]", "why it does not count")
    .option("--undo", "make a withdrawn round count again")
    .option("--date <day>", "day it was withdrawn, YYYY-MM-DD (default: now)", parseCalendarDay)
    .option("-j, --json", "print what was done as JSON")
    .action(async (round: string, words: string[], options: WithdrawOptions) => {
      const { restoreRound, withdrawRound } = await import("../jobs/withdraw.js");
      const { formatRestored, formatWithdrawn } = await import("../report/withdrawn.js");
      const { desk, undo, date, json } = options;
      if (undo) {
        const restored = restoreRound(desk, round);
        if (json) return printJson({ round: restored });
        return printMessage(formatRestored(restored));
      }
      const done = withdrawRound({
        desk,
        round,
        because: words.join(" "),
        ...(date === undefined ? {} : { date }),
      });
      if (json) return printJson(done);
      printMessage(formatWithdrawn(done, done.reopened));
    });
}
