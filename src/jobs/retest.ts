import { basename, join } from "node:path";
import type { OnAssigned, OnProgress } from "../analysis/types.js";
import { getDeskFolder, nameFolder } from "../desk/desk-file.js";
import { listOpenTogether, type PassPlan, pickPasses, planPasses } from "../desk/passes.js";
import { readDesk } from "../desk/read/read-desk.js";
import type { Desk, DeskPath } from "../desk/types.js";
import { DeskroundError } from "../errors.js";
import { readCalibration } from "../history/calibration.js";
import { assertSameDesk } from "../history/same-desk.js";
import type { Round } from "../history/types.js";
import { formatItemName } from "../report/plan/word-plan.js";
import { formatRetestFigure } from "../report/retest-figures.js";
import { appendToNotebook } from "../service/notebook/append.js";
import { readNotebook } from "../service/notebook/read.js";
import type { NewNote } from "../service/notebook/types.js";
import type { PassSheet } from "../service/pass-sheet.js";
import { makePlan } from "../service/plan/plan.js";
import { judgeRetest } from "../service/retest/judge-retest.js";
import { listRetestPaths, type RetestPaths } from "../service/retest/retest-paths.js";
import type { Retest, RetestItem } from "../service/retest/types.js";
import { buildRunSheet, type RunSheet } from "../service/run-sheet.js";
import { buildSignalTable } from "../signal/signal-table.js";
import type { Profile, SignalBand } from "../signal/types.js";
import { formatCommand } from "../text/program-name.js";
import { type AnalyzeRequest, analyze } from "./analyze.js";
import { listFaultyControls } from "./latest-controls.js";
import { makePassSheet } from "./pass-signal.js";
import { findLatestWholeRound, listProvenSince } from "./plan.js";
import { readDangers } from "./read-dangers.js";
import { getDate } from "./wall-time.js";

export interface RetestSheet extends Pick<RetestPaths, "touched" | "neighbours"> {
  /** A sheet of single plays or of passes. */
  readonly sheet: RunSheet | PassSheet;
  /** Round that it will be compared with. */
  readonly against: string;
  /** Damaged rounds that were skipped, in words. */
  readonly skipped: readonly string[];
}

/**
 * The short run sheet before the desk is closed: strips worked on and their neighbours, with the
 * signal of the round that raised the items. If that was played in passes, the sheet has the same
 * passes with the same strips open, so that sums can be compared.
 *
 * @param form `single` for single plays in any case
 * @throws DeskroundError `round-file` without a round; `usage` if nothing was worked on or planned
 */
export async function makeRetestSheet(
  desk: string,
  form: "as before" | "single" = "as before",
): Promise<RetestSheet> {
  const { whole, base, chosen, skipped } = await retestOf(desk);
  const { profile, band, sampleRate } = base.signal;
  const dangers = await readDangers(desk, whole.sections);
  const head = {
    against: base.id,
    touched: chosen.touched,
    neighbours: chosen.neighbours,
    skipped,
  };
  const plan = form === "single" ? undefined : planRetestPasses(whole, base, chosen.paths);
  if (plan !== undefined) {
    const table = { profile: profile as Profile, band: band as SignalBand, sampleRate };
    return {
      ...head,
      sheet: makePassSheet(whole, plan, { ...table, isRetest: true, dangers }).sheet,
    };
  }
  const table = buildSignalTable(profile as Profile, band as SignalBand);
  const file = basename(join(getDeskFolder(desk), `deskround-${profile}-${sampleRate}-int24.wav`));
  const sheet = buildRunSheet(whole, table, {
    sampleRate,
    file,
    paths: chosen.paths,
    open: true,
    dangers,
  });
  return { ...head, sheet };
}

/**
 * The passes of the whole desk that contain the paths of a re-test. Undefined if the round was made
 * of single plays: passes, with several strips open, would not be comparable.
 */
function planRetestPasses(
  desk: Desk,
  base: Round,
  paths: readonly DeskPath[],
): PassPlan | undefined {
  if (desk.outputs === undefined) return undefined;
  const plan = pickPasses(
    planPasses(desk),
    paths.map(({ path }) => path),
  );
  const isApart = plan.passes.every((pass) =>
    [...listOpenTogether(pass).values()].every(({ length }) => length === 1),
  );
  const isComparable = isApart || (base.sums ?? []).length > 0;
  return plan.passes.length > 0 && isComparable ? plan : undefined;
}

export interface RetestResult {
  readonly round: Round;
  readonly retest: Retest;
  /** Notes closed now, and findings of the round. */
  readonly closed: readonly string[];
  /** Damaged rounds that were skipped, in words. */
  readonly skipped: readonly string[];
}

/**
 * Measures the re-test, stores it as a partial round, compares it with the round that raised the
 * items, and says whether the desk can be closed. Only then are items that are proven repaired
 * closed in the notebook.
 *
 * @throws DeskroundError as {@link analyze} and {@link makeRetestSheet}; nothing is stored or closed
 *   then
 */
export async function analyzeRetest(
  request: AnalyzeRequest,
  onProgress: OnProgress,
  onAssigned?: OnAssigned,
): Promise<RetestResult> {
  const { whole, base, chosen, skipped } = await retestOf(request.desk);
  assertRetestOf(base, whole, getDate(request.date));
  const only = request.only ?? chosen.paths.map(({ path }) => path);
  const folder = getDeskFolder(request.desk);
  // A calibration subtracts the interface's noise and distortion. If the round
  // has them in, the re-test must too.
  const isLeftOut =
    base.calibration === null &&
    request.calibration !== "leave-out" &&
    (await readCalibration(folder)) !== undefined;
  const round = await analyze(
    { ...request, only, wantedPasses: "whole", ...(isLeftOut ? { calibration: "leave-out" } : {}) },
    onProgress,
    onAssigned,
  );
  const notebook = readNotebook(folder);
  const known = listProvenSince(notebook, base);
  const judged = judgeRetest(base, round, { notebook, chosen, done: known });
  const retest: Retest = isLeftOut
    ? {
        ...judged,
        conditions: [{ code: "calibration-left-out", round: base.id }, ...judged.conditions],
      }
    : judged;
  if (request.keep === "preview" || retest.gate.verdict !== "close") {
    return { round, retest, closed: [], skipped };
  }
  const mended = retest.items.filter(
    ({ outcome, key, closes }) => outcome === "mended" && (closes.length > 0 || !known.has(key)),
  );
  const lines = mended.flatMap((item) => closingLines(item, retest, getDate(request.date)));
  if (lines.length === 0) return { round, retest, closed: [], skipped };
  const closed = mended.flatMap(({ closes }) => closes).sort(byNumber);
  try {
    appendToNotebook(folder, lines);
  } catch (error) {
    throw asStoredAlready(error, round.id, closed);
  }
  return { round, retest, closed, skipped };
}

/** The round is stored by now: an error here must not suggest measuring again. */
function asStoredAlready(error: unknown, round: string, closed: readonly string[]): unknown {
  if (!(error instanceof DeskroundError)) return error;
  return new DeskroundError(
    error.code,
    `Round ${round} was stored, but what it proves fixed could not be noted: ${error.message}`,
    closed.length === 0
      ? `The round is safe: do not measure it again. Fix that, then run \`${formatCommand("plan")}\`.`
      : `The round is safe: do not measure it again. Fix that, then: ${formatCommand(`note close ${closed.join(" ")}`)}`,
    error,
  );
}

/**
 * Checks, before an hour of recordings is measured, that the desk is the same and the date not
 * before the round's.
 */
function assertRetestOf(base: Round, desk: Desk, date: string): void {
  assertSameDesk(base, { id: desk.id, name: desk.name });
  if (date.slice(0, 10) >= base.date.slice(0, 10)) return;
  throw new DeskroundError(
    "usage",
    `The re-test is dated ${date.slice(0, 10)}, before round ${base.id}, with which it would be compared.`,
    "Give the day of the recordings with --date. Nothing was stored.",
  );
}

function closingLines(item: RetestItem, retest: Retest, date: string): readonly NewNote[] {
  const line = {
    date,
    kind: "close" as const,
    strip: item.strip,
    what: item.cause,
    round: retest.round,
    raisedBy: retest.against,
    figures: item.figures.map(formatRetestFigure),
    text: `fixed: ${formatItemName(item.name)}`,
  };
  return [line, ...item.closes.map((closes) => ({ ...line, closes }))];
}

async function retestOf(folderOrFile: string) {
  const whole = readDesk(folderOrFile);
  const folder = getDeskFolder(folderOrFile);
  const notebook = readNotebook(folder);
  const skipped: string[] = [];
  const base = await findLatestWholeRound(folder, skipped);
  if (base === undefined) {
    throw new DeskroundError(
      "round-file",
      `No round of the whole desk is stored in ${nameFolder(folder)}: there is nothing to compare a re-test with.`,
      `\`${formatCommand("analyze")}\` makes one. Without it, close notes by hand: ${formatCommand("note close n1")}`,
    );
  }
  const done = listProvenSince(notebook, base);
  const plan = makePlan({
    desk: whole,
    round: base,
    notebook,
    done,
    controls: await listFaultyControls(folder, notebook, skipped),
    date: getDate(undefined),
  });
  const planned = [
    ...plan.steps.flatMap((step) => (step.kind === "strip" ? [{ strip: step.strip }] : [])),
    ...(plan.places ?? []).map(({ section, kind }) => ({ section, sectionKind: kind })),
  ];
  const chosen = listRetestPaths(whole, notebook, base.date, planned, base.shared);
  if (chosen.paths.length === 0) {
    const { sections } = chosen;
    throw new DeskroundError(
      "usage",
      sections.length === 0
        ? "Nothing was noted as done and nothing is planned: there is nothing to test again."
        : `What was worked on (${sections.join(", ")}) is in no strip's readings: there is nothing to test again.`,
      `First note what was done, for example: ${formatCommand('note done 6 "C4 replaced"')}`,
    );
  }
  return { whole, base, chosen, skipped };
}

function byNumber(a: string, b: string): number {
  return a.localeCompare(b, "en", { numeric: true });
}
