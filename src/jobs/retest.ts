import { basename, join } from "node:path";
import { deskFolder } from "../desk/locate.js";
import { readDesk } from "../desk/read.js";
import { DeskroundError } from "../errors.js";
import type { Round } from "../history/types.js";
import { appendToNotebook } from "../service/notebook/append.js";
import { readNotebook } from "../service/notebook/read.js";
import type { NewLine } from "../service/notebook/types.js";
import { makePlan } from "../service/plan/plan.js";
import { judgeRetest, type Retest, type RetestItem } from "../service/plan/retest.js";
import { type RetestPaths, retestPaths } from "../service/plan/retest-paths.js";
import { type RunSheet, runSheet } from "../service/run-sheet.js";
import { signalTable } from "../signal/profiles.js";
import type { Band, Profile } from "../signal/table.js";
import { analyze } from "./analyze.js";
import { heardControls, latestWhole, provenSince } from "./plan.js";
import type { AnalyzeRequest, OnAssigned, OnProgress } from "./types.js";
import { dateOf } from "./wall-time.js";

export interface RetestSheet extends Pick<RetestPaths, "touched" | "neighbours"> {
  readonly sheet: RunSheet;
  /** Round that it will be held against. */
  readonly against: string;
}

/**
 * The short run sheet before the desk is closed: touched strips and their neighbours, with the
 * signal of the round that raised the items.
 *
 * @throws DeskroundError `round-file` without a round; `usage` when nothing was touched or planned
 */
export async function retestSheet(desk: string): Promise<RetestSheet> {
  const { whole, base, chosen } = await retestOf(desk);
  const { profile, band, sampleRate } = base.signal;
  const table = signalTable(profile as Profile, band as Band);
  const file = basename(join(deskFolder(desk), `deskround-${profile}-${sampleRate}-int24.wav`));
  const sheet = runSheet(whole, table, { sampleRate, file, paths: chosen.paths, open: true });
  return {
    sheet,
    against: base.id,
    touched: chosen.touched,
    neighbours: chosen.neighbours,
  };
}

export interface Retested {
  readonly round: Round;
  readonly retest: Retest;
  /** Notes closed now, and findings of the round. */
  readonly closed: readonly string[];
}

/**
 * Measures the re-test, stores it as a partial round, holds it against the round that raised the
 * items, and closes in the notebook what is proven mended.
 *
 * @throws DeskroundError as {@link analyze} and {@link retestSheet}; nothing is closed then
 */
export async function analyzeRetest(
  request: AnalyzeRequest,
  onProgress: OnProgress,
  onAssigned?: OnAssigned,
): Promise<Retested> {
  const { base, chosen } = await retestOf(request.desk);
  const only = request.only ?? chosen.paths.map(({ path }) => path);
  const round = await analyze({ ...request, only }, onProgress, onAssigned);
  const folder = deskFolder(request.desk);
  const notebook = readNotebook(folder);
  const known = provenSince(notebook, base);
  const retest = judgeRetest(base, round, notebook, known);
  const mended = retest.items.filter(
    ({ outcome, key, closes }) => outcome === "mended" && (closes.length > 0 || !known.has(key)),
  );
  const lines = mended.flatMap((item) => closingLines(item, retest, dateOf(request.date)));
  if (request.keep === "preview" || lines.length === 0) return { round, retest, closed: [] };
  appendToNotebook(folder, lines);
  return { round, retest, closed: mended.flatMap(({ closes }) => closes).sort(byNumber) };
}

function closingLines(item: RetestItem, retest: Retest, date: string): readonly NewLine[] {
  const line = {
    date,
    kind: "close" as const,
    strip: item.strip,
    what: item.cause,
    round: retest.round,
    raisedBy: retest.against,
    figures: [...item.figures],
    text: `mended: ${item.name}`,
  };
  return [line, ...item.closes.map((closes) => ({ ...line, closes }))];
}

async function retestOf(folderOrFile: string) {
  const whole = readDesk(folderOrFile);
  const folder = deskFolder(folderOrFile);
  const notebook = readNotebook(folder);
  const base = await latestWhole(folder);
  if (base === undefined) {
    throw new DeskroundError(
      "round-file",
      `No round of the whole desk is stored in ${folder}: a re-test has nothing to be held against.`,
      "`deskround analyze` makes one. Without it, close notes by hand: deskround note close n1",
    );
  }
  const done = provenSince(notebook, base);
  const plan = makePlan({
    desk: whole,
    round: base,
    notebook,
    done,
    controls: await heardControls(folder, notebook),
    date: dateOf(undefined),
  });
  const planned = plan.steps.flatMap((step) => (step.kind === "strip" ? [step.strip] : []));
  const chosen = retestPaths(whole, notebook, base.date, planned);
  if (chosen.touched.length === 0) {
    throw new DeskroundError(
      "usage",
      "Nothing was noted as done and nothing is planned: there is nothing to test again.",
      'Note what was done first, as in: deskround note done 6 "C4 replaced"',
    );
  }
  return { whole, base, chosen };
}

function byNumber(a: string, b: string): number {
  return a.localeCompare(b, "en", { numeric: true });
}
