import { getDeskFolder } from "../desk/desk-file.js";
import { parsePath } from "../desk/paths.js";
import { applyMeterFindings } from "../diagnose/meter-findings.js";
import { DeskroundError } from "../errors.js";
import { groupByStanding, type Standing } from "../history/standing.js";
import { getControlsPassFolder, listAllRounds, readRound } from "../history/store.js";
import type { Round, RoundPath } from "../history/types.js";
import { readWithdrawn, type Withdrawal } from "../history/withdrawn.js";
import { listOpenDangers, type OpenDanger } from "../service/notebook/open-dangers.js";
import { readNotebook } from "../service/notebook/read.js";
import type { Entry } from "../service/notebook/types.js";
import { listFindingsFor, listLatestMeters } from "../service/plan/items.js";

/** A stored round in a list. */
export interface RoundSummary {
  readonly id: string;
  /** ISO 8601; the day in the name, for a damaged round. */
  readonly date: string;
  /** Paths that were measured, and paths there are; 0 for a damaged round. */
  readonly measured: number;
  readonly paths: number;
  /** Set where only some of the desk's paths were wanted. */
  readonly partial?: true;
  /** Paths by what is to be thought of them; empty for a damaged round. */
  readonly verdict: Readonly<Partial<Record<Standing, readonly string[]>>>;
  /** Why it cannot be read. */
  readonly damaged?: string;
  /** Why it does not count, and since when. */
  readonly withdrawn?: Pick<Withdrawal, "date" | "because">;
}

export interface ShowResult {
  readonly round: Round;
  /** Why the round does not count; absent where it does. */
  readonly withdrawn?: Withdrawal;
  /** Open notes of the desk that speak of a danger. */
  readonly dangers: readonly OpenDanger[];
  /** The path asked for, when one was. */
  readonly path?: RoundPath;
}

/** Rounds, or controls passes, which are kept apart from them. */
export type ShownFrom = "rounds" | "controls";

/** The stored rounds of a desk, oldest first; a damaged one is listed as such. */
export async function listRoundSummaries(
  desk: string,
  from: ShownFrom = "rounds",
): Promise<readonly RoundSummary[]> {
  const folder = folderOf(desk, from);
  const withdrawn = readWithdrawn(folder);
  return Promise.all(
    listAllRounds(folder).map(async (id) => {
      const { date, because } = withdrawn.get(id) ?? {};
      const one = await summary(folder, id);
      return date === undefined || because === undefined
        ? one
        : { ...one, withdrawn: { date, because } };
    }),
  );
}

/** What `show` is asked for. */
export interface ShowRequest {
  /** Folder that holds desk.yaml and rounds/, or the desk file itself. */
  readonly desk: string;
  /** Id of a round, `last`, or a path, which alone is one of the last round. */
  readonly what: string;
  /** A path such as `7/mic`; the id where `what` is the path. */
  readonly path?: string | undefined;
  readonly from: ShownFrom;
}

/**
 * A stored round, and the path of it that was asked for.
 *
 * @throws DeskroundError `round-file` or `usage`
 */
export async function showRound({ desk, what, path, from }: ShowRequest): Promise<ShowResult> {
  // A path has a stroke in it and an id has none: whichever is named first, it is clear what is meant.
  const pathFirst = what.includes("/") && !path?.includes("/");
  const [id, wanted] = pathFirst ? [path ?? "last", what] : [what, path];
  const folder = folderOf(desk, from);
  if (from === "controls" && listAllRounds(folder).length === 0) throw noPass(desk);
  const round = await readRound(folder, id, "all");
  const aside = readWithdrawn(folder).get(round.id);
  const { entries } = readNotebook(getDeskFolder(desk));
  const state = {
    dangers: listOpenDangers(entries),
    ...(aside === undefined ? {} : { withdrawn: aside }),
  };
  if (wanted === undefined) return { round, ...state };
  const found = parsePath(wanted, round.paths, `round ${round.id}`);
  // A controls pass has no causes that a meter could weigh in.
  return {
    round,
    ...state,
    path: from === "controls" ? found : withMeter(getDeskFolder(desk), found),
  };
}

function noPass(desk: string): DeskroundError {
  return new DeskroundError(
    "round-file",
    `No controls pass is stored in ${getDeskFolder(desk)}.`,
    "`deskround signal --profile controls` begins one; --desk names another desk's folder.",
  );
}

/** A path with what the meter showed since weighed into its causes; the stored round stays. */
function withMeter(folder: string, path: RoundPath): RoundPath {
  const { entries } = readNotebook(folder);
  const findings = listFindingsFor(path, listLatestMeters(entries.filter(isOpen)));
  return findings.length === 0
    ? path
    : { ...path, causes: applyMeterFindings(path.causes, findings) };
}

function isOpen({ line, closed }: Entry): boolean {
  return line.kind === "meter" && closed === undefined;
}

function folderOf(desk: string, from: ShownFrom): string {
  const folder = getDeskFolder(desk);
  return from === "controls" ? getControlsPassFolder(folder) : folder;
}

async function summary(folder: string, id: string): Promise<RoundSummary> {
  try {
    const round = await readRound(folder, id, "all");
    const { date, paths, partial } = round;
    const measured = paths.filter(({ status }) => status === "measured").length;
    return {
      id,
      date,
      measured,
      paths: paths.length,
      ...(partial ? { partial: true } : {}),
      verdict: verdictOf(round),
    };
  } catch (error) {
    if (!(error instanceof DeskroundError)) throw error;
    return {
      id,
      date: id.slice(0, 10),
      measured: 0,
      paths: 0,
      verdict: {},
      damaged: error.message,
    };
  }
}

function verdictOf(round: Round): RoundSummary["verdict"] {
  const entries = Object.entries(groupByStanding(round)).filter(([, paths]) => paths.length > 0);
  return Object.fromEntries(entries.map(([name, paths]) => [name, paths.map(({ path }) => path)]));
}
