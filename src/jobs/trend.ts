import { statSync } from "node:fs";
import type { OnProgress } from "../analysis/types.js";
import { getDeskFolder } from "../desk/desk-file.js";
import { DeskroundError } from "../errors.js";
import { freeMemory } from "../history/facts/free-memory.js";
import { readFacts } from "../history/facts/read-facts.js";
import type { RoundFacts } from "../history/facts/types.js";
import { withFactsOfSides } from "../history/facts/with-facts-of-sides.js";
import { compareRoundIds } from "../history/round-id.js";
import { isSameDesk } from "../history/same-desk.js";
import { getRoundFile, listRounds, readRound } from "../history/store.js";
import { computeTrends, trendReadings } from "../history/trend/trends.js";
import type { Trends } from "../history/trend/types.js";
import type { Round } from "../history/types.js";
import { withSides } from "../history/with-sides.js";
import type { Curve } from "../measure/types.js";
import { formatRemadeIndex } from "../report/remade-index.js";
import { readLimits } from "../service/limits/read.js";
import { listTrendLimits } from "../service/limits/trend-limits.js";
import type { Limit } from "../service/limits/types.js";
import { readNotebook } from "../service/notebook/read.js";
import { listRecaps } from "../service/notebook/recaps.js";
import { formatPassedOver } from "./passed-over.js";
import { reportReading } from "./report-reading.js";

/** What `compare --trend` is asked to do. */
export interface TrendRequest {
  /** Folder that holds the rounds and, perhaps, limits.yaml; or the desk file itself. */
  readonly desk: string;
  /** The last round to count: id, date, `last` or `oldest`. */
  readonly round: string;
}

export interface TrendResult {
  readonly trends: Trends;
  /** Rounds that were passed over, and what was wrong with the index, in words. */
  readonly skipped: readonly string[];
  /** How many rounds could not be read, without which the trends are. */
  readonly unread: number;
}

/** A round without the points of curves that no limit names. */
async function readLean(folder: string, wanted: string, limits: readonly Limit[]): Promise<Round> {
  const round = await readRound(folder, wanted);
  const text = limits.map((limit) => limit.text).join("\n");
  const lean = (name: string, curve: Curve): Curve =>
    text.includes(name)
      ? curve
      : { ...curve, x: [], y: [], uncertainty: [], floor: [], bounds: [] };
  const paths = round.paths.map((path) => ({
    ...path,
    curves: Object.fromEntries(
      Object.entries(path.curves).map(([name, curve]) => [name, lean(name, curve)]),
    ),
  }));
  freeMemory(statSync(getRoundFile(folder, round.id)).size);
  return { ...round, paths };
}

/**
 * All rounds of a desk up to one, as trends. What cannot be read, or is of another desk, is passed
 * over and named. Nothing but the index of the rounds is written.
 *
 * @throws DeskroundError `round-file`, `limits-file` or `usage`
 */
export async function computeDeskTrends(
  { desk, round }: TrendRequest,
  onProgress: OnProgress = () => {},
): Promise<TrendResult> {
  const folder = getDeskFolder(desk);
  const known = listRounds(folder);
  const written = await readLimits(folder, undefined, "named");
  const last = await readLean(folder, round, written);
  const earlier = known.filter((id) => compareRoundIds(id, last.id) < 0);
  const onRead = reportReading(onProgress);
  const found = await readFacts({
    folder,
    ids: earlier,
    readings: trendReadings,
    onRead,
    pick: withFactsOfSides,
  });
  const skipped = [...formatRemadeIndex(found.remade)];
  const rounds: RoundFacts[] = [];
  let unread = 0;
  for (const one of found.rounds) {
    if ("damaged" in one) {
      skipped.push(formatPassedOver({ ...one, message: one.damaged }));
      unread++;
    } else if (isSameDesk(one.facts.desk, last.desk)) rounds.push(one.facts);
    else skipped.push(`Passed over: Round ${one.id} is of the desk "${one.facts.desk.name}".`);
  }
  // Limits may compare with curves of the first round.
  const first = rounds.length === 0 ? last : await readLean(folder, rounds[0].id, written);
  const limits = await listTrendLimits(last, first, written);
  const all = [...rounds, withSides(last)];
  const strips = [...new Set(all.flatMap(({ paths }) => paths.map(({ strip }) => strip)))];
  const recaps = listRecaps(readNotebook(folder), strips);
  try {
    return { trends: computeTrends(all, limits, recaps), skipped, unread };
  } catch (error) {
    if (!(error instanceof DeskroundError) || unread === 0) throw error;
    throw new DeskroundError(error.code, [error.message, ...skipped].join(" "), error.hint);
  }
}
