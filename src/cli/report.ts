import type { Command } from "commander";
import {
  type CommonOptions,
  createRoundParser,
  showInstead,
  withCommonOptions,
} from "./options.js";
import { printJson, printMessage } from "./output.js";

interface ReportOptions extends CommonOptions {
  readonly with?: string;
  readonly out?: string;
  readonly plots?: string;
  readonly json?: true;
}

/** The command `report`. */
export function addReport(program: Command): void {
  withCommonOptions(program.command("report"))
    .description("write a round as one page to look at, send and print")
    .argument(
      "[round]",
      "id of a round, `last`, `oldest` or a date",
      createRoundParser(showInstead),
      "last",
    )
    .option("-w, --with <baseline>", "an earlier round, drawn underneath this one")
    .option("-o, --out <file>", "HTML file to write (default: reports/ in the desk's folder)")
    .option("--plots <folder>", "write each plot as an SVG file too")
    .option("-j, --json", "print what was written as JSON")
    .action(async (round: string, options: ReportOptions) => {
      const { desk, with: baseline, out, plots, json } = options;
      const { report } = await import("../jobs/report.js");
      const written = await report({
        desk,
        round,
        ...(baseline === undefined ? {} : { baseline }),
        ...(out === undefined ? {} : { out }),
        ...(plots === undefined ? {} : { plots }),
      });
      for (const text of written.skipped ?? []) printMessage(text);
      if (json) return printJson(written);
      printMessage(`Wrote ${written.file}.`);
      if (plots !== undefined) printMessage(`Wrote ${written.plots.length} plots to ${plots}.`);
    });
}
