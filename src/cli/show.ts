import { type Command, Option } from "commander";
import { DeskroundError } from "../errors.js";
import type { Round, RoundPath } from "../history/types.js";
import type { ShownStrip, ShowResult } from "../jobs/show.js";
import type { ReportStyle } from "../report/style.js";
import { formatCommand } from "../text/program-name.js";
import { plainNote } from "./note.js";
import { type CommonOptions, withCommonOptions } from "./options.js";
import {
  getReportStyle,
  getTerminalLetters,
  printJson,
  printMessage,
  printReport,
  printResult,
} from "./output.js";
import { printPaged } from "./pager.js";
import { withProgress } from "./progress.js";

interface ShowOptions extends CommonOptions {
  readonly list?: true;
  readonly why?: true;
  readonly plot?: true;
  readonly controls?: true;
  readonly mornings?: true;
  readonly format: "text" | "json" | "csv";
  readonly json?: true;
}

/** The command `show`. */
export function addShow(program: Command): void {
  withCommonOptions(program.command("show"))
    .description("print a stored round, a strip or one path again")
    .argument(
      "[what...]",
      "a strip (7), a path (7/mic) or `reference`; a round (an id, a day, `last`, `oldest`); or both",
    )
    .option("-l, --list", "list the stored rounds")
    .option("--controls", "controls passes instead of rounds")
    .option("--mornings", "the log of mornings; with a path its level, noise and hum by day")
    .option("--why", "with a path: how its causes were weighed, with every number")
    .option("--plot", "with a path: its response over its siblings', drawn in characters")
    .addOption(
      new Option("-f, --format <format>", "how to print it")
        .choices(["text", "json", "csv"])
        .default("text"),
    )
    .addOption(new Option("-j, --json", "the same as --format json").conflicts("format"))
    .action(async (words: string[], options: ShowOptions) => {
      if (options.mornings) return printMornings(words, options);
      const { listRoundSummaries, showRound } = await import("../jobs/show.js");
      const format = options.json ? "json" : options.format;
      const from = options.controls ? "controls" : "rounds";
      if (options.list) {
        if (format === "csv") throw listAsCsv();
        const { rounds, notes } = await withProgress((onProgress) =>
          listRoundSummaries(options.desk, from, onProgress),
        );
        for (const text of notes) printMessage(text);
        if (format === "json") return printJson(rounds);
        if (rounds.length === 0) {
          return printMessage(`No ${options.controls ? "controls pass" : "round"} is stored yet.`);
        }
        const { renderRoundList } = await import("../report/round-list.js");
        return printReport(renderRoundList(rounds, getReportStyle()));
      }
      const found = await showRound({ desk: options.desk, words, from });
      if (options.controls && (options.why || options.plot || format === "csv")) throw passOnly();
      if (found.withdrawn !== undefined) {
        const { round: id, date, because } = found.withdrawn;
        printMessage(`Round ${id} was withdrawn on ${date.slice(0, 10)}: ${because}.`);
      }
      if (found.dangers.length > 0) {
        const { formatDangerReminder } = await import("../report/danger.js");
        printMessage(formatDangerReminder(found.dangers));
      }
      if (found.strip !== undefined) return printStrip(found, found.strip, options, format);
      if (options.plot) requirePlottable(found, format);
      if (options.why) return printWhy(options.desk, found, format);
      if (found.reference !== undefined) return printReference(found, format);
      if (format === "json") return printJson(found.path ?? found.round);
      if (format === "csv") {
        const { listReferenceRows, renderRoundCsv } = await import("../report/round-csv.js");
        const { path, round } = found;
        const rows = path ? [path] : [...round.paths, ...listReferenceRows(round.reference)];
        return printResult(renderRoundCsv(rows));
      }
      const { renderPathReport, renderRound } = await import("../report/round.js");
      const { wordRound } = await import("../report/word-round.js");
      const style = getReportStyle();
      if (options.controls) {
        const { renderControlsPass: renderPass, renderControlsPassPath: renderPassPath } =
          await import("../report/controls.js");
        return printReport(
          found.path === undefined
            ? renderPass(await wordRound(found.round), style)
            : renderPassPath(found.round, found.path, style),
        );
      }
      const text =
        found.path === undefined
          ? renderRound(await wordRound(found.round), style, "stored", found.leftAlone)
          : renderPathReport(
              found.round,
              found.path,
              style,
              options.plot ? await drawResponse(found.round, found.path, style) : undefined,
            );
      await printPaged(text + (await formatOwnLeftAlone(found)));
    });
}

/** The response of a path over its siblings', for a terminal. */
async function drawResponse(round: Round, path: RoundPath, style: ReportStyle): Promise<string> {
  const { renderTerminalPlot } = await import("../report/terminal-plot.js");
  const { findFamilyStats } = await import("../report/path.js");
  return renderTerminalPlot(path, findFamilyStats(round, path), style, getTerminalLetters());
}

/** Why findings of the path or strip shown do not count. */
async function formatOwnLeftAlone({ path, strip, leftAlone }: ShowResult): Promise<string> {
  const shown = path === undefined ? (strip?.paths ?? []) : [path];
  const own = leftAlone.filter((one) => shown.some((each) => each.path === one.path));
  if (own.length === 0) return "";
  const { formatLeftAlone } = await import("../report/left-alone.js");
  return `${own.map(formatLeftAlone).join("\n")}\n`;
}

async function printStrip(
  found: ShowResult,
  { strip, paths }: ShownStrip,
  { desk, why, plot, controls }: ShowOptions,
  format: string,
): Promise<void> {
  const { round } = found;
  for (const name of ["why", "plot"] as const) {
    if ((name === "why" ? why : plot) !== true) continue;
    throw new DeskroundError(
      "usage",
      `--${name} is for one path, but ${strip} is a strip.`,
      `For example: ${formatCommand(`show --${name} ${paths[0].path}`)}`,
    );
  }
  if (format === "csv") {
    const { renderRoundCsv } = await import("../report/round-csv.js");
    return printResult(renderRoundCsv(paths));
  }
  if (controls) {
    const { renderControlsPassPath } = await import("../report/controls.js");
    const style = getReportStyle();
    return printReport(paths.map((path) => renderControlsPassPath(round, path, style)).join("\n"));
  }
  const { readStripSheet } = await import("../jobs/life.js");
  const {
    life,
    notes,
    controls: moved,
    skipped,
  } = await withProgress((onProgress) => readStripSheet(desk, strip, onProgress));
  for (const text of skipped) printMessage(text);
  if (format === "json") {
    const { wordLife } = await import("../report/life.js");
    return printJson({
      round: round.id,
      strip,
      paths,
      notes: notes.map(plainNote),
      controls: moved,
      life: wordLife(life),
    });
  }
  const { renderStrip } = await import("../report/strip.js");
  const text = renderStrip({ round, strip, paths, notes, controls: moved, life }, getReportStyle());
  await printPaged(text + (await formatOwnLeftAlone(found)));
}

/** The log of mornings, or one path of it. */
async function printMornings(
  words: readonly string[],
  { desk, format, json }: ShowOptions,
): Promise<void> {
  const { getDeskFolder } = await import("../desk/desk-file.js");
  const { readMornings } = await import("../history/morning-log.js");
  const { entries } = readMornings(getDeskFolder(desk));
  if (json || format === "json") return printJson(entries);
  if (entries.length === 0) return printMessage("No morning is in the log yet.");
  const { renderMornings } = await import("../report/morning.js");
  if (words.length === 0) return printReport(renderMornings(entries, undefined, getReportStyle()));
  const { parsePath } = await import("../desk/paths.js");
  const { readDesk } = await import("../desk/read/read-desk.js");
  const { path } = parsePath(words.join(" "), readDesk(desk).paths);
  printReport(renderMornings(entries, path, getReportStyle()));
}

async function printReference({ round, reference }: ShowResult, format: string): Promise<void> {
  if (format === "json") return printJson(reference);
  if (format === "csv") {
    const { listReferenceRows, renderRoundCsv } = await import("../report/round-csv.js");
    return printResult(renderRoundCsv(listReferenceRows(reference)));
  }
  const { renderReference } = await import("../report/reference-path.js");
  printReport(renderReference(round, getReportStyle()));
}

function requirePlottable({ path }: ShowResult, format: string): void {
  if (path !== undefined && format === "text") return;
  throw new DeskroundError(
    "usage",
    path === undefined ? "--plot needs a path to draw." : `--plot is not available as ${format}.`,
    `For example: ${formatCommand("show --plot 7/mic")}; \`${formatCommand("report --plots")}\` writes plots as files.`,
  );
}

async function printWhy(desk: string, { round, path }: ShowResult, format: string): Promise<void> {
  if (path === undefined || format === "csv") {
    throw new DeskroundError(
      "usage",
      path === undefined ? "--why needs a path to reason about." : "--why is not available as CSV.",
      `For example: ${formatCommand("show --why 7/mic")}`,
    );
  }
  const { explainStoredPath } = await import("../jobs/explain-stored-path.js");
  const explanation = await explainStoredPath(desk, round, path);
  if (format === "json") return printJson(explanation);
  const { renderWhy } = await import("../report/why.js");
  printReport(renderWhy(path, explanation, getReportStyle()));
}

function passOnly(): DeskroundError {
  return new DeskroundError(
    "usage",
    "A controls pass has no causes to weigh, and is not available as CSV.",
    `For example: ${formatCommand("show --controls")}, or with --json for scripts`,
  );
}

function listAsCsv(): DeskroundError {
  return new DeskroundError(
    "usage",
    "The list of rounds is not available as CSV.",
    "--list with --json prints it for scripts; --format csv without --list prints a round.",
  );
}
