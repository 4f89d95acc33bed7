import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { assertOwnFile } from "../assert-own-file.js";
import { getDeskFolder } from "../desk/desk-file.js";
import { DeskroundError } from "../errors.js";
import { compareRounds } from "../history/compare/compare.js";
import { readFacts } from "../history/facts/read-facts.js";
import { withFactsOfSides } from "../history/facts/with-facts-of-sides.js";
import { isSameDesk } from "../history/same-desk.js";
import { listRounds, readRound } from "../history/store.js";
import type { Round } from "../history/types.js";
import { buildYears, type PathYears } from "../history/years.js";
import { getReadingId } from "../measure/reading-kinds.js";
import { pageKind, plotKind } from "../report/html/own-marks.js";
import type { PageControls } from "../report/html/sections/controls.js";
import type { Baseline } from "../report/html/view.js";
import { formatLeftAlone } from "../report/left-alone.js";
import { formatDatedNote } from "../report/notebook.js";
import { formatPassedOver } from "../report/passed-over.js";
import { formatRemadeIndex } from "../report/remade-index.js";
import { listRoundCautions } from "../service/cautions.js";
import { weighRound } from "../service/checks/weigh-checks.js";
import { isOpenNote } from "../service/notebook/is-open-note.js";
import { leaveAlone } from "../service/notebook/left-alone.js";
import { readNotebook } from "../service/notebook/read.js";
import type { Entry } from "../service/notebook/types.js";
import { writeForAnywhere } from "../text/program-name.js";
import { writeFileAtomic } from "../write-file-atomic.js";
import { readBaseline } from "./baseline.js";
import { readLatestControls } from "./latest-controls.js";
import { readChecks } from "./read-checks.js";
import { getDate } from "./wall-time.js";

/** What `report` is asked to do. */
export interface ReportRequest {
  /** Folder that holds the rounds, or the desk file itself. */
  readonly desk: string;
  /** Id of a round, `last`, `oldest` or a date. */
  readonly round: string;
  /** The baseline, named in the same way. */
  readonly baseline?: string;
  /** File to write; `reports/<round>.html` in the desk's folder when absent. */
  readonly out?: string;
  /** Folder for the plots, one file each. */
  readonly plots?: string;
}

/** Files that `report` wrote. */
export interface WrittenReport {
  readonly round: string;
  readonly baseline?: string;
  readonly file: string;
  readonly bytes: number;
  readonly plots: readonly string[];
  /** Damaged rounds that were skipped while looking for the baseline, in words; absent if none. */
  readonly skipped?: readonly string[];
}

/**
 * Writes a stored round as one page and, if requested, its plots as files.
 *
 * @throws DeskroundError `round-file`, `usage`, or `cannot-write`: also if a file of that name was
 * not written by this program
 */
export async function report(request: ReportRequest): Promise<WrittenReport> {
  assertPageName(request.out);
  const folder = getDeskFolder(request.desk);
  const stored = await readRound(folder, request.round);
  const { entries } = readNotebook(folder);
  const left = leaveAlone(stored, entries, getDate(undefined).slice(0, 10));
  const { leftAlone } = left;
  const checked = await readChecks(request.desk, stored, entries);
  const round = weighRound(left.round, checked.results, checked.desk);
  const { baseline, skipped: passed } =
    request.baseline === undefined
      ? { baseline: undefined, skipped: [] }
      : await baselineOf(folder, request.baseline, round);
  const file = request.out ?? join(folder, "reports", `${round.id}.html`);
  const skipped = [...passed];
  const years = await readYears(folder, round, skipped);
  const parts = { round, years, ...(baseline === undefined ? {} : { baseline }) };
  const plots = request.plots === undefined ? [] : await plotFiles(request.plots, parts);
  const notes = [
    ...writeForAnywhere(() => leftAlone.map(formatLeftAlone)),
    ...entries.filter(isOpenNote).map(formatDatedNote),
  ];
  const controls = await readControls(folder, round, entries, skipped);
  const page = await renderReport({ ...parts, notes, controls });
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
    ...(skipped.length === 0 ? {} : { skipped: [...new Set(skipped)] }),
  };
}

/** A round's page as text. */
export async function renderReport(parts: {
  readonly round: Round;
  readonly baseline?: Baseline;
  /** Open notes and accepted findings, one line each. */
  readonly notes?: readonly string[];
  readonly controls?: readonly PageControls[];
  readonly years?: ReadonlyMap<string, PathYears>;
}): Promise<string> {
  const { renderPage } = await import("../report/html/document.js");
  return writeForAnywhere(() =>
    renderPage({ ...parts, cautions: listRoundCautions(), script: pageScript() }),
  );
}

/** The page's script as built; empty if run from sources. */
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
    skipped: skipped.map((text) => `Skipped: ${text}`),
  };
}

/** Noise and lower corner of every path in the rounds of the desk up to this one. */
async function readYears(
  folder: string,
  { id, desk }: Round,
  skipped: string[],
): Promise<ReadonlyMap<string, PathYears>> {
  const all = listRounds(folder);
  const ids = all.slice(0, all.indexOf(id) + 1);
  if (ids.length < 2) return new Map();
  const readings = [getReadingId("noise"), getReadingId("lower-corner")];
  const { rounds, remade } = await readFacts({ folder, ids, readings, pick: (facts) => facts });
  skipped.push(...formatRemadeIndex(remade));
  const own = rounds.flatMap((one) => {
    if ("facts" in one) return isSameDesk(one.facts.desk, desk) ? [one.facts] : [];
    skipped.push(formatPassedOver({ ...one, message: one.damaged }));
    return [];
  });
  return buildYears(own.map(withFactsOfSides), readings);
}

/** The latest controls results before the next round. */
async function readControls(
  folder: string,
  { id }: Round,
  entries: readonly Entry[],
  skipped: string[],
): Promise<readonly PageControls[]> {
  const all = listRounds(folder);
  const next = all.at(all.indexOf(id) + 1);
  const isLast = next === undefined || all.indexOf(id) < 0;
  const heard = await readLatestControls(folder, skipped, isLast ? undefined : next.slice(0, 10));
  return heard.map(({ pass, path }) => {
    const repaired = entries
      .filter(({ line }) => line.kind === "repair" && line.strip === path.strip)
      .map(({ line }) => line.date.slice(0, 10))
      .findLast((day) => day > pass.date.slice(0, 10));
    return { date: pass.date, path, ...(repaired === undefined ? {} : { repaired }) };
  });
}

async function plotFiles(
  folder: string,
  parts: {
    readonly round: Round;
    readonly baseline?: Baseline;
    readonly years?: ReadonlyMap<string, PathYears>;
  },
): Promise<readonly { readonly file: string; readonly text: string }[]> {
  const { renderPlots } = await import("../report/html/plot-files.js");
  return renderPlots(parts).map(({ name, text }) => ({ file: join(folder, name), text }));
}

/** Endings of other kinds of file, which would mislead. */
const otherKinds = /\.(?:pdf|docx?|odt|rtf|png|jpe?g|svg|txt|md|csv|json|xlsx?|ods)$/i;

function assertPageName(out: string | undefined): void {
  if (out === undefined || !otherKinds.test(out)) return;
  throw new DeskroundError(
    "usage",
    `${out}: a report is an HTML page.`,
    `Name it ${out.replace(otherKinds, ".html")}; a browser prints it, also into a PDF file.`,
  );
}
