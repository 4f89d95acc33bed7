import { type Command, InvalidArgumentError, Option } from "commander";
import { DeskroundError } from "../errors.js";
import { formatCommand } from "../text/program-name.js";
import {
  type CommonOptions,
  parseCalendarDay,
  parseNumber,
  parseWordList,
  withCommonOptions,
} from "./options.js";
import {
  getReportStyle,
  printJson,
  printMessage,
  printReport,
  printResult,
  tellDamage,
} from "./output.js";
import { withProgress } from "./progress.js";

interface PlanOptions extends CommonOptions {
  readonly hours?: number;
  readonly date?: string;
  readonly retest?: true;
  readonly single?: true;
  readonly history?: string;
  readonly recap?: true | string;
  readonly format: "text" | "markdown" | "html" | "csv" | "json";
  readonly json?: true;
}

/** The command `plan`. */
export function addPlan(program: Command): void {
  withCommonOptions(program.command("plan"))
    .description("the worklist: which strips to pull, why, in which order, with which parts")
    .option("--hours <hours>", "make the best use of these hours", hoursAtHand)
    .option("--retest", "a short run sheet before closing: strips worked on, and neighbours")
    .option("--single", "with --retest: paths one by one, even if the round was played in passes")
    .option("--history <strip>", "the life of one strip: faults, repairs, parts, readings")
    .option("--recap [strips]", "plan a recap, day by day; --hours gives the hours per day")
    .option("--date <day>", "day of the plan, YYYY-MM-DD (default: today)", parseCalendarDay)
    .addOption(
      new Option(
        "-f, --format <format>",
        "text, markdown, html for the bench, csv of the parts, json",
      )
        .choices(["text", "markdown", "html", "csv", "json"])
        .default("text"),
    )
    .addOption(new Option("-j, --json", "the same as --format json").conflicts("format"))
    .action(async (options: PlanOptions) => {
      const { desk, hours, date, retest, history } = options;
      if (retest || history !== undefined) requireAlone(options);
      if (options.single && !retest) throw singleAlone();
      if (options.recap !== undefined) return printRecap(options.recap, options);
      if (retest) return printRetestSheet(options);
      if (history !== undefined) return printLife(desk, history, options);
      const jobs = await import("../jobs/plan.js");
      const { plan, notebook, strangers, leftAlone, missingPhotos, skipped } = await jobs.plan({
        desk,
        ...(hours === undefined ? {} : { hours }),
        ...(date === undefined ? {} : { date }),
      });
      tellDamage(notebook);
      for (const text of skipped) printMessage(text);
      if (strangers.length > 0) {
        const { formatStranger } = await import("../report/plan/notices.js");
        for (const one of strangers) printMessage(formatStranger(one));
      }
      if (leftAlone.length > 0) {
        const { formatLeftAlone } = await import("../report/left-alone.js");
        for (const one of leftAlone) printMessage(formatLeftAlone(one));
      }
      if (missingPhotos.length > 0) {
        const { formatMissingPhotos } = await import("../report/plan/notices.js");
        printMessage(formatMissingPhotos(missingPhotos));
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
      printReport(renderPlan(plan, getReportStyle()));
    });
}

/** A sheet and a history are not plans: they take neither hours nor the plan's other formats. */
function requireAlone({ retest, history, recap, hours, format }: PlanOptions): void {
  const other =
    recap !== undefined
      ? "--recap"
      : retest && history !== undefined
        ? "--history"
        : hours !== undefined
          ? "--hours"
          : ["markdown", "html", "csv"].includes(format)
            ? `--format ${format}`
            : undefined;
  if (other === undefined) return;
  throw new DeskroundError(
    "usage",
    `${other} cannot be combined with ${retest ? "--retest" : "--history"}.`,
    "Leave one of the two out; --json works with both.",
  );
}

function singleAlone(): DeskroundError {
  return new DeskroundError(
    "usage",
    "--single is only for the sheet of a re-test.",
    `Ask for that: ${formatCommand("plan --retest --single")}`,
  );
}

async function printRecap(strips: true | string, options: PlanOptions): Promise<void> {
  const { desk, hours, date, json, format } = options;
  const { planRecap } = await import("../jobs/recap.js");
  const { plan, notebook, skipped } = await planRecap({
    desk,
    ...(strips === true ? {} : { strips: parseWordList(strips) }),
    ...(hours === undefined ? {} : { hoursADay: hours }),
    ...(date === undefined ? {} : { date }),
  });
  tellDamage(notebook);
  for (const text of skipped) printMessage(text);
  if (json || format === "json") return printJson(plan);
  const { renderRecap, renderRecapCsv, renderRecapHtml, renderRecapMarkdown } = await import(
    "../report/plan/recap.js"
  );
  if (format === "csv") return printResult(renderRecapCsv(plan));
  if (format === "html") return printResult(renderRecapHtml(plan));
  if (format === "markdown") return printResult(renderRecapMarkdown(plan));
  printReport(renderRecap(plan, getReportStyle()));
}

async function printRetestSheet({ desk, json, format, single }: PlanOptions): Promise<void> {
  const { makeRetestSheet } = await import("../jobs/retest.js");
  const made = await makeRetestSheet(desk, single ? "single" : "as before");
  for (const text of made.skipped) printMessage(text);
  if (json || format === "json") return printJson(made);
  const { sheet } = made;
  const { formatRetestOf } = await import("../report/plan/notices.js");
  printMessage(formatRetestOf(made));
  if ("passes" in sheet) {
    const { renderPassSheetText } = await import("../report/sheet/pass-text.js");
    return printReport(renderPassSheetText(sheet));
  }
  const { renderSheetText } = await import("../report/sheet/text.js");
  printReport(renderSheetText(sheet));
}

async function printLife(
  desk: string,
  strip: string,
  { json, format }: PlanOptions,
): Promise<void> {
  const { readStripLife } = await import("../jobs/life.js");
  const {
    life,
    desk: name,
    notebook,
    skipped,
  } = await withProgress((onProgress) => readStripLife(desk, strip, onProgress));
  for (const text of skipped) printMessage(text);
  tellDamage(notebook);
  const { renderLife, wordLife } = await import("../report/life.js");
  if (json || format === "json") return printJson(wordLife(life));
  printReport(renderLife(name, life, getReportStyle()));
}

function hoursAtHand(text: string): number {
  const [, whole, minutes] = /^(\d{1,2}):([0-5]\d)$/.exec(text.trim()) ?? [];
  if (whole !== undefined) return Number(whole) + Number(minutes) / 60;
  const hours = parseNumber(text, "hours", "h", "hour", "hrs");
  if (hours > 0 && hours <= 100) return hours;
  throw new InvalidArgumentError("It should be a number of hours, above 0 and up to 100.");
}
