import { existsSync, readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { assertOwnFile } from "../assert-own-file.js";
import { getDeskFolder } from "../desk/desk-file.js";
import { DeskroundError } from "../errors.js";
import { compareRounds } from "../history/compare/compare.js";
import { readRound } from "../history/store.js";
import type { Round } from "../history/types.js";
import { pageKind, plotKind } from "../report/html/own-marks.js";
import type { Baseline } from "../report/html/view.js";
import { formatLeftAlone } from "../report/left-alone.js";
import { formatDatedNote } from "../report/notebook.js";
import { listRoundCautions } from "../service/cautions.js";
import { weighRound } from "../service/checks/weigh-checks.js";
import { isOpenNote } from "../service/notebook/is-open-note.js";
import { leaveAlone } from "../service/notebook/left-alone.js";
import { readNotebook } from "../service/notebook/read.js";
import { writeFileAtomic } from "../write-file-atomic.js";
import { readBaseline } from "./baseline.js";
import { readChecks } from "./read-checks.js";
import { getDate } from "./wall-time.js";

/** What `report` is asked to do. */
export interface ReportRequest {
  /** Folder that holds the rounds, or the desk file itself. */
  readonly desk: string;
  /** Id of a round, `last`, `oldest` or a date. */
  readonly round: string;
  /** The baseline, named alike. */
  readonly baseline?: string;
  /** File to write; `reports/<round>.html` in the desk's folder when absent. */
  readonly out?: string;
  /** Folder to write each plot to, as a file of its own. */
  readonly plots?: string;
}

/** What `report` wrote. */
export interface WrittenReport {
  readonly round: string;
  readonly baseline?: string;
  readonly file: string;
  readonly bytes: number;
  readonly plots: readonly string[];
  /** Damaged rounds that were passed over on the way to the baseline, in words; absent where none. */
  readonly skipped?: readonly string[];
}

/**
 * Writes a stored round as one page, and its plots as files where that is asked for.
 *
 * @throws DeskroundError `round-file`, `usage`, or `cannot-write`: also where a file of that name is
 *   no page of this program
 */
export async function report(request: ReportRequest): Promise<WrittenReport> {
  const folder = getDeskFolder(request.desk);
  const stored = await readRound(folder, request.round);
  const { entries } = readNotebook(folder);
  const left = leaveAlone(stored, entries, getDate(undefined).slice(0, 10));
  const { leftAlone } = left;
  const checked = await readChecks(request.desk, stored, entries);
  const round = weighRound(left.round, checked.results, checked.desk);
  const { baseline, skipped } =
    request.baseline === undefined
      ? { baseline: undefined, skipped: [] }
      : await baselineOf(folder, request.baseline, round);
  const file = request.out ?? join(folder, "reports", `${round.id}.html`);
  const parts = { round, ...(baseline === undefined ? {} : { baseline }) };
  const plots = request.plots === undefined ? [] : await plotFiles(request.plots, parts);
  const notes = [
    ...leftAlone.map(formatLeftAlone),
    ...entries.filter(isOpenNote).map(formatDatedNote),
  ];
  const page = await renderReport({ ...parts, notes });
  assertDistinct(file, plots);
  for (const one of plots) assertOwnFile(one.file, plotKind);
  assertOwnFile(file, pageKind);
  for (const one of plots) writeFileAtomic(one.file, one.text, plotKind);
  writeFileAtomic(file, page, pageKind);
  return {
    round: round.id,
    ...(baseline === undefined ? {} : { baseline: baseline.round.id }),
    file,
    bytes: Buffer.byteLength(page),
    plots: plots.map((one) => one.file),
    ...(skipped.length === 0 ? {} : { skipped }),
  };
}

/** A round's page as text. */
export async function renderReport(parts: {
  readonly round: Round;
  readonly baseline?: Baseline;
  /** Open notes and known oddities, a line each. */
  readonly notes?: readonly string[];
}): Promise<string> {
  const { renderPage } = await import("../report/html/document.js");
  return renderPage({ ...parts, cautions: listRoundCautions(), script: pageScript() });
}

/** The page's script as it was built; run from sources there may be none. */
function pageScript(): string {
  const places = ["../dist/report/html/browser/page.js", "../../dist/report/html/browser/page.js"];
  const found = places.map((place) => new URL(place, import.meta.url)).find(existsSync);
  return found === undefined ? "" : readFileSync(found, "utf8").trim();
}

async function baselineOf(
  folder: string,
  text: string,
  round: Round,
): Promise<{ readonly baseline: Baseline; readonly skipped: readonly string[] }> {
  const { baseline, skipped } = await readBaseline(folder, text, round.id);
  return {
    baseline: { round: baseline, comparison: compareRounds(round, baseline) },
    skipped: skipped.map((text) => `Passed over: ${text}`),
  };
}

async function plotFiles(
  folder: string,
  parts: { readonly round: Round; readonly baseline?: Baseline },
): Promise<readonly { readonly file: string; readonly text: string }[]> {
  const { renderPlots } = await import("../report/html/plot-files.js");
  return renderPlots(parts).map(({ name, text }) => ({ file: join(folder, name), text }));
}

/** The page must not take the name of one of its plots. */
function assertDistinct(file: string, plots: readonly { readonly file: string }[]): void {
  if (plots.every((one) => resolve(one.file) !== resolve(file))) return;
  throw new DeskroundError(
    "usage",
    `${file} would be both the page and one of its plots.`,
    "Name another file with --out.",
  );
}
