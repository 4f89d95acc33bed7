import { type Command, InvalidArgumentError, Option } from "commander";
import { type CommonOptions, calendarDay, withCommonOptions } from "./options.js";
import { note, printJson, printReport, printResult, reportStyle } from "./output.js";

interface PlanOptions extends CommonOptions {
  readonly hours?: number;
  readonly date?: string;
  readonly format: "text" | "markdown" | "html" | "csv" | "json";
  readonly json?: true;
}

export function addPlan(program: Command): void {
  withCommonOptions(program.command("plan"))
    .description("the worklist: which strips to pull, why, in which order, with which parts")
    .option("--hours <hours>", "hours at hand: the best use of them", hoursAtHand)
    .option("--date <day>", "day of the plan, YYYY-MM-DD (default: today)", calendarDay)
    .addOption(
      new Option("--format <format>", "text, markdown, html for the bench, csv of the parts, json")
        .choices(["text", "markdown", "html", "csv", "json"])
        .default("text"),
    )
    .addOption(new Option("--json", "the same as --format json").conflicts("format"))
    .action(async (options: PlanOptions) => {
      const { desk, hours, date } = options;
      const jobs = await import("../jobs/plan.js");
      const { plan, notebook } = await jobs.plan({
        desk,
        ...(hours === undefined ? {} : { hours }),
        ...(date === undefined ? {} : { date }),
      });
      for (const { at, reason } of notebook.damaged) {
        note(`${notebook.file} line ${at} was skipped: ${reason}. It stays in the file.`);
      }
      const format = options.json ? "json" : options.format;
      if (format === "json") return printJson(plan);
      if (format === "html") {
        const { renderPlanHtml } = await import("../report/plan/html.js");
        return printResult(renderPlanHtml(plan));
      }
      if (format === "markdown") {
        const { renderPlanMarkdown } = await import("../report/plan/markdown.js");
        return printResult(renderPlanMarkdown(plan));
      }
      if (format === "csv") {
        const { renderPartsCsv } = await import("../report/plan/parts-csv.js");
        return printResult(renderPartsCsv(plan));
      }
      const { renderPlan } = await import("../report/plan/text.js");
      printReport(renderPlan(plan, reportStyle()));
    });
}

function hoursAtHand(text: string): number {
  const hours = /^\d{1,3}(?:[.,]\d+)?$/.test(text) ? Number(text.replace(",", ".")) : Number.NaN;
  if (hours > 0 && hours <= 100) return hours;
  throw new InvalidArgumentError("It should be a number of hours, above 0 and up to 100.");
}
