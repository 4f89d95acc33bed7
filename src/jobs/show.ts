import type { OnProgress } from "../analysis/types.js";
import { getDeskFolder } from "../desk/desk-file.js";
import { normalizeName } from "../desk/names.js";
import { parsePath } from "../desk/paths.js";
import { defaultReferenceName } from "../desk/reference-path.js";
import { applyMeterFindings } from "../diagnose/meter-findings.js";
import { DeskroundError } from "../errors.js";
import { readFacts } from "../history/facts/read-facts.js";
import type { RoundFacts } from "../history/facts/types.js";
import { groupByStanding, type Standing } from "../history/standing.js";
import { getControlsPassFolder, listAllRounds, readRound } from "../history/store.js";
import type { Round, RoundPath, RoundReference } from "../history/types.js";
import { readWithdrawn, type Withdrawal } from "../history/withdrawn.js";
import { listOpenDangers, type OpenDanger } from "../service/notebook/open-dangers.js";
import { readNotebook } from "../service/notebook/read.js";
import type { Entry } from "../service/notebook/types.js";
import { listFindingsFor, listLatestMeters } from "../service/plan/items.js";
import { reportReading } from "./report-reading.js";

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
  /** Set where the reference path was asked for. */
  readonly reference?: RoundReference;
}

/** Rounds, or controls passes, which are kept apart from them. */
export type ShownFrom = "rounds" | "controls";

/** A list of rounds, and what was wrong with the index that it is read from. */
export interface RoundList {
  readonly rounds: readonly RoundSummary[];
  readonly notes: readonly string[];
}

/** The stored rounds of a desk, oldest first; a damaged one is listed as such. */
export async function listRoundSummaries(
  desk: string,
  from: ShownFrom = "rounds",
  onProgress: OnProgress = () => {},
): Promise<RoundList> {
  const folder = folderOf(desk, from);
  const withdrawn = readWithdrawn(folder);
  const onRead = reportReading(onProgress);
  const found = await readFacts({ folder, ids: listAllRounds(folder), onRead, pick: toSummary });
  return {
    notes: found.notes,
    rounds: found.rounds.map((one): RoundSummary => {
      const { date, because } = withdrawn.get(one.id) ?? {};
      const summary = "damaged" in one ? damagedSummary(one) : one.facts;
      return date === undefined || because === undefined
        ? summary
        : { ...summary, withdrawn: { date, because } };
    }),
  };
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
  const folder = folderOf(desk, from);
  const isPath = (text: string) => text.includes("/") || isReferenceName(text, folder);
  const pathFirst = isPath(what) && !(path !== undefined && isPath(path));
  const [id, wanted] = pathFirst ? [path ?? "last", what] : [what, path];
  if (from === "controls" && listAllRounds(folder).length === 0) throw noPass(desk);
  const round = await readRound(folder, id, "all");
  const aside = readWithdrawn(folder).get(round.id);
  const { entries } = readNotebook(getDeskFolder(desk));
  const state = {
    dangers: listOpenDangers(entries),
    ...(aside === undefined ? {} : { withdrawn: aside }),
  };
  if (wanted === undefined) return { round, ...state };
  if (isReferenceOf(wanted, round)) return { round, ...state, reference: referenceOf(round) };
  const found = parsePath(wanted, round.paths, `round ${round.id}`);
  // A controls pass has no causes that a meter could weigh in.
  return {
    round,
    ...state,
    path: from === "controls" ? found : withMeter(getDeskFolder(desk), found),
  };
}

/** Whether a text is the general name of the reference path, and no round's. */
function isReferenceName(text: string, folder: string): boolean {
  return normalizeName(text) === defaultReferenceName && !listAllRounds(folder).includes(text);
}

/** By its general name, or by the one that the round has for it. */
function isReferenceOf(wanted: string, { reference }: Round): boolean {
  const text = normalizeName(wanted);
  return text === defaultReferenceName || text === normalizeName(reference?.name ?? "");
}

function referenceOf({ id, reference }: Round): RoundReference {
  if (reference !== undefined) return reference;
  throw new DeskroundError(
    "usage",
    `Round ${id} has no reference path.`,
    "Name one in desk.yaml (`reference-path: { into: insert }`) and play it first and last.",
  );
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

function damagedSummary({ id, damaged }: { id: string; damaged: string }): RoundSummary {
  return { id, date: id.slice(0, 10), measured: 0, paths: 0, verdict: {}, damaged };
}

function toSummary(facts: RoundFacts): RoundSummary {
  const { id, date, paths, partial } = facts;
  return {
    id,
    date,
    measured: paths.filter(({ status }) => status === "measured").length,
    paths: paths.length,
    ...(partial ? { partial: true } : {}),
    verdict: verdictOf(facts),
  };
}

function verdictOf(round: RoundFacts): RoundSummary["verdict"] {
  const entries = Object.entries(groupByStanding(round)).filter(([, paths]) => paths.length > 0);
  return Object.fromEntries(entries.map(([name, paths]) => [name, paths.map(({ path }) => path)]));
}
