import { parseWantedPaths } from "../analysis/place/wanted-paths.js";
import type { OnProgress } from "../analysis/types.js";
import { getDeskFolder } from "../desk/desk-file.js";
import { listOpenTogether, type PlannedPass, planPasses } from "../desk/passes.js";
import { readDesk } from "../desk/read/read-desk.js";
import type { Desk } from "../desk/types.js";
import { powerToDb } from "../dsp/decibels.js";
import { DeskroundError } from "../errors.js";
import { readRound } from "../history/store.js";
import type { Round } from "../history/types.js";
import { findSumRule, type JudgedSum } from "../rank/sums.js";
import {
  type Halving,
  type HalvingPlay,
  type HalvingResult,
  planHalving,
} from "../service/halving.js";
import { formatCommand } from "../text/program-name.js";
import { measureHalvingPlay } from "./measure-halving-play.js";

/** What `halve` is asked to do. */
export interface HalveRequest {
  /** Folder that holds desk.yaml and rounds/, or the desk file itself. */
  readonly desk: string;
  /** Id of the round whose sum is too high, or `last`. */
  readonly round: string;
  /** Recordings so far, one per play, in the order of the plays requested. */
  readonly recordings: readonly string[];
  /** Which of the sums that are too high, from 1. */
  readonly which: number;
}

/**
 * Finds the faulty strip in a group whose sum is too high: returns the strips to open for the next
 * play, or the strip. Each recording counts as the play requested next.
 *
 * @throws DeskroundError `usage` if no sum of the round is too high; `no-return`
 */
export async function halve(request: HalveRequest, onProgress: OnProgress): Promise<HalvingResult> {
  const folder = getDeskFolder(request.desk);
  const round = await readRound(folder, request.round);
  const high = listToHalve(round);
  const sum = high[request.which - 1];
  if (sum?.expected === undefined) throw nothingHigh(round.id, high.length, request.which);
  const level = levelOf(sum.reading);
  const halving = {
    group: sum.paths,
    adds: addsOf(sum.reading),
    allDb: level(sum.value),
    expectedDb: level(sum.expected),
  };
  const pass = findPass(readDesk(request.desk), round, sum.paths);
  const plays: HalvingPlay[] = [];
  for (const recording of request.recordings) {
    const step = planHalving(halving, plays);
    if (step.do !== "play") throw tooMany(recording);
    const asked = { recording, round, sum, pass, open: step.open };
    const value = await measureHalvingPlay(request.desk, asked, onProgress);
    plays.push({ open: step.open, levelDb: level(value) });
  }
  const step = planHalving(halving, plays);
  return {
    round: round.id,
    sum,
    ...(pass === undefined ? {} : { pass: pass.number }),
    of: high.length,
    plays,
    step,
  };
}

/** The pass in which these paths play together, as planned from the desk file. */
function findPass(
  desk: Desk,
  { partial }: Round,
  paths: readonly string[],
): PlannedPass | undefined {
  const wanted = partial === undefined ? desk.paths : parseWantedPaths(partial.wanted, desk.paths);
  const key = [...paths].sort().join("\n");
  const isIts = (pass: PlannedPass) =>
    // Also the whole pass, in case it was recorded on one channel although it
    // has several.
    [...listOpenTogether(pass).values(), pass.plays.map(({ path }) => path)].some(
      (own) => [...own].sort().join("\n") === key,
    );
  return [planPasses(desk), planPasses(desk, wanted)].flatMap(({ passes }) => passes).find(isIts);
}

/** Sums that are too high, then those that are uncertain because the strips may add in phase. */
function listToHalve({ sums = [] }: Round): readonly JudgedSum[] {
  return [
    ...sums.filter(({ verdict }) => verdict === "too-high"),
    ...sums.filter(({ verdict, expected }) => verdict === "cannot-tell" && expected !== undefined),
  ];
}

/** How a reading adds up over strips: counts and levels both add as powers. */
function addsOf(reading: string): Halving["adds"] {
  return findSumRule(reading)?.adds === "phase" ? "phase" : "power";
}

/** Counts as levels: they add as powers do. */
function levelOf(reading: string): (value: number) => number {
  const isCount = findSumRule(reading)?.adds === "count";
  return (value) => (isCount ? powerToDb(Math.max(value, leastCount)) : value);
}

/** Clicks per second; fewer do not count. */
const leastCount = 0.05;

function nothingHigh(round: string, of: number, which: number): DeskroundError {
  return new DeskroundError(
    "usage",
    of === 0
      ? `Nothing that strips gave together is too high in round ${round}.`
      : `Round ${round} has ${of} sums that are too high; there is no number ${which}.`,
    of === 0
      ? `Name the round of that pass, e.g. ${formatCommand("halve --round 2031-03-14-01")}`
      : "Name one of them with --which.",
  );
}

function tooMany(recording: string): DeskroundError {
  return new DeskroundError(
    "usage",
    `${recording}: the recordings before it have already found the strip.`,
    "Leave it out.",
  );
}
