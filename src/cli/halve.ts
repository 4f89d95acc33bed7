import { type Command, InvalidArgumentError } from "commander";
import { type CommonOptions, withCommonOptions } from "./options.js";
import { getReportStyle, printJson, printReport } from "./output.js";
import { withProgress } from "./progress.js";
import { tellOpenDangers } from "./tell-dangers.js";

interface HalveOptions extends CommonOptions {
  readonly round: string;
  readonly which: number;
  readonly json?: true;
}

/** The command `halve`. */
export function addHalve(program: Command): void {
  withCommonOptions(program.command("halve"))
    .description("which strips to mute next, to find the one that is too loud in a group")
    .argument(
      "[recordings...]",
      "recordings of the plays so far, in the order in which they were asked for",
    )
    .option("--round <round>", "the round in which the group was too loud", "last")
    .option("--which <number>", "which of several groups, from 1", parseNumber, 1)
    .option("--json", "print it as JSON")
    .action(async (recordings: string[], { desk, round, which, json }: HalveOptions) => {
      await tellOpenDangers(desk);
      const { halve } = await import("../jobs/halve.js");
      const result = await withProgress((onProgress) =>
        halve({ desk, round, which, recordings }, onProgress),
      );
      if (json) return printJson(result);
      const { renderHalve } = await import("../report/halve.js");
      printReport(renderHalve(result, getReportStyle()));
    });
}

function parseNumber(text: string): number {
  if (!/^\d{1,3}$/.test(text.trim()) || Number(text) < 1) {
    throw new InvalidArgumentError("It should be a number from 1.");
  }
  return Number(text);
}
