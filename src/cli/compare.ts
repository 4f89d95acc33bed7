import { type Command, Option } from "commander";
import { exitCode } from "../errors.js";
import { formatCommand } from "../text/program-name.js";
import { type CommonOptions, createRoundParser, withCommonOptions } from "./options.js";
import { getReportStyle, printJson, printMessage, printReport } from "./output.js";
import { withProgress } from "./progress.js";

interface CompareOptions extends CommonOptions {
  readonly with: string;
  readonly path?: string;
  readonly trend?: true;
  readonly json?: true;
}

/** The command `compare`. */
export function addCompare(program: Command): void {
  withCommonOptions(program.command("compare"))
    .description("compare a round with an earlier one: what drifted, what is new, what is fixed")
    .argument(
      "[round]",
      "id of a round, a date, `oldest` or `last`",
      createRoundParser((path) =>
        formatCommand(`compare --path ${path}${path.includes("/") ? "" : "/mic"}`),
      ),
      "last",
    )
    .option("-w, --with <round>", "the round to compare with; `last` is the one before", "last")
    .option("-p, --path <path>", "every reading of one path, such as 7/mic")
    .addOption(
      new Option(
        "-t, --trend",
        "all rounds up to this one: what ages, and when it reaches its limit",
      ).conflicts(["with", "path"]),
    )
    .addOption(new Option("-j, --json", "print it as JSON"))
    .action(async (round: string, options: CompareOptions) => {
      const { desk, with: baseline, path } = options;
      if (options.trend) return printTrend(desk, round, options.json ? "json" : "text");
      const { compare } = await import("../jobs/compare.js");
      const { comparison, skipped } = await compare({
        desk,
        round,
        baseline,
        ...(path === undefined ? {} : { path }),
        ...(path === undefined && !options.json ? { summary: true as const } : {}),
      });
      for (const message of skipped) printMessage(`Skipped: ${message}`);
      if (options.json) {
        const { wordComparison } = await import("../report/conditions/format-incomparable.js");
        return printJson(wordComparison(comparison));
      }
      const { renderComparison } = await import("../report/comparison.js");
      printReport(renderComparison(comparison, getReportStyle()));
    });
}

async function printTrend(desk: string, round: string, format: "json" | "text"): Promise<void> {
  const { computeDeskTrends } = await import("../jobs/trend.js");
  const { trends, skipped, unread } = await withProgress((onProgress) =>
    computeDeskTrends({ desk, round }, onProgress),
  );
  for (const message of skipped) printMessage(message);
  if (unread > 0) process.exitCode = exitCode.incomplete;
  if (format === "json") {
    const { addNotes } = await import("../report/conditions/format-condition.js");
    return printJson(addNotes(trends));
  }
  const { renderTrends } = await import("../report/trends.js");
  printReport(renderTrends(trends, getReportStyle()));
}
