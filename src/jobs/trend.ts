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
import { formatOtherDesk, formatPassedOver } from "../report/passed-over.js";
import { formatRemadeIndex } from "../report/remade-index.js";
import { listOperands } from "../service/limits/list-operands.js";
import { readLimits } from "../service/limits/read.js";
import { listTrendLimits } from "../service/limits/trend-limits.js";
import type { Limit } from "../service/limits/types.js";
import { readNotebook } from "../service/notebook/read.js";
import { listRecaps } from "../service/notebook/recaps.js";
import { reportReading } from "./report-reading.js";

/** What `compare --trend` is asked to do. */
export interface TrendRequest {
  /** Folder that holds the rounds and, perhaps, limits.yaml; or the desk file itself. */
  readonly desk: string;
  /** Last round to include: id, date, `last` or `oldest`. */
  readonly round: string;
}

export interface TrendResult {
  readonly trends: Trends;
  /** Rounds that were skipped, and what was wrong with the index, in words. */
  readonly skipped: readonly string[];
  /** Number of rounds that could not be read and are missing from the trends. */
  readonly unread: number;
}

/** The curves that limits name: only their points are needed. */
async function listNamedCurves(limits: readonly Limit[], round: Round): Promise<Set<string>> {
  // Readings missing in the first round are reported when compared; only names
  // count here.
  const operands = await listOperands(limits, round, round);
  return new Set(
    [...operands.values()].flat().flatMap(({ id, at }) => (at === undefined ? [] : [id])),
  );
}

/** The last round without unneeded curve points, and the curves that limits name. */
async function readLast(folder: string, wanted: string, limits: readonly Limit[]) {
  const round = await readRound(folder, wanted);
  const named = await listNamedCurves(limits, round);
  return { last: makeLean(folder, round, named), named };
}

/** A round without the points of curves that are not named. */
function makeLean(folder: string, round: Round, named: ReadonlySet<string>): Round {
  const keep = (name: string, curve: Curve): Curve =>
    named.has(name) ? curve : { ...curve, x: [], y: [], uncertainty: [], floor: [], bounds: [] };
  const paths = round.paths.map((path) => ({
    ...path,
    curves: Object.fromEntries(
      Object.entries(path.curves).map(([name, curve]) => [name, keep(name, curve)]),
    ),
  }));
  freeMemory(statSync(getRoundFile(folder, round.id)).size);
  return { ...round, paths };
}

/**
 * All rounds of a desk up to one, as trends. Rounds that cannot be read or belong to another desk
 * are skipped and named. Only the index of the rounds is written.
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
  const { last, named } = await readLast(folder, round, written);
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
    else skipped.push(formatOtherDesk(one.id, one.facts.desk.name));
  }
  // Limits may compare with curves of the first round.
  const first =
    rounds.length === 0 ? last : makeLean(folder, await readRound(folder, rounds[0].id), named);
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
