import type { OnProgress } from "../analysis/types.js";
import { getDeskFolder, nameFolder } from "../desk/desk-file.js";
import { normalizeName } from "../desk/names.js";
import { readPathWords, splitPathWords } from "../desk/path-words.js";
import { findClosestWord, parsePath } from "../desk/paths.js";
import { defaultReferenceName } from "../desk/reference-path.js";
import { DeskroundError } from "../errors.js";
import type { RoundFacts } from "../history/facts/types.js";
import { findRoundId } from "../history/pick.js";
import { groupByStanding, type Standing } from "../history/standing.js";
import { getControlsPassFolder, listAllRounds, readRound } from "../history/store.js";
import type { Round, RoundPath, RoundReference } from "../history/types.js";
import { readWithdrawn, type Withdrawal } from "../history/withdrawn.js";
import { wordCauses } from "../report/evidence/format-evidence.js";
import { weighPath, weighRound } from "../service/checks/weigh-checks.js";
import { type LeftAlone, leaveAlone } from "../service/notebook/left-alone.js";
import type { OpenDanger } from "../service/notebook/open-dangers.js";
import { readKnownNotebook } from "../service/notebook/read-known.js";
import type { Entry } from "../service/notebook/types.js";
import { formatCommand } from "../text/program-name.js";
import { readChecks } from "./read-checks.js";
import { readDangers } from "./read-dangers.js";
import { getDate } from "./wall-time.js";

/** A stored round in a list. */
export interface RoundSummary {
  readonly id: string;
  /** ISO 8601; the day in the name, for a damaged round. */
  readonly date: string;
  /** Paths measured, and paths in all; 0 for a damaged round. */
  readonly measured: number;
  readonly paths: number;
  /** Set if only some of the desk's paths were requested. */
  readonly partial?: true;
  /** Paths by verdict; empty for a damaged round. */
  readonly verdict: Readonly<Partial<Record<Standing, readonly string[]>>>;
  /** Faults of parts shared by several paths; absent if none. */
  readonly shared?: NonNullable<RoundFacts["shared"]>;
  /** Sums of several strips that are too high; absent if none. */
  readonly tooHigh?: NonNullable<RoundFacts["tooHigh"]>;
  /** Why it cannot be read. */
  readonly damaged?: string;
  /** Set if it was withdrawn: why and when. */
  readonly withdrawn?: Pick<Withdrawal, "date" | "because">;
}

export interface ShowResult {
  readonly round: Round;
  /** Why the round does not count; absent if it does. */
  readonly withdrawn?: Withdrawal;
  /** Its findings that were accepted as known. */
  readonly leftAlone: readonly LeftAlone[];
  /** Open notes that mention a danger. */
  readonly dangers: readonly OpenDanger[];
  /** The path asked for, when one was. */
  readonly path?: RoundPath;
  /** The strip asked for and its paths, if any. */
  readonly strip?: ShownStrip;
  /** Set if the reference path was asked for. */
  readonly reference?: RoundReference;
}

/** A strip of a round: its paths, with meter readings weighed into the causes. */
export interface ShownStrip {
  readonly strip: string;
  readonly paths: readonly RoundPath[];
}

/** Rounds, or controls passes, which are kept apart from them. */
export type ShownFrom = "rounds" | "controls";

/** A list of rounds, and problems of the index it is read from. */
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
  // Reading the index loads cryptography, which one round does not need.
  const { readFacts } = await import("../history/facts/read-facts.js");
  const { formatRemadeIndex } = await import("../report/remade-index.js");
  const { reportReading } = await import("./report-reading.js");
  const onRead = reportReading(onProgress);
  const found = await readFacts({ folder, ids: listAllRounds(folder), onRead, pick: toSummary });
  return {
    notes: formatRemadeIndex(found.remade),
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
  /** A round, a path or a strip, or a round and one of these, in either order; the last round if empty. */
  readonly words: readonly string[];
  readonly from: ShownFrom;
}

/**
 * A stored round, and the path or strip of it that was asked for.
 *
 * @throws DeskroundError `round-file` or `usage`
 */
export async function showRound({ desk, words, from }: ShowRequest): Promise<ShowResult> {
  const folder = folderOf(desk, from);
  const known = listAllRounds(folder);
  if (from === "controls" && known.length === 0) throw noPass(desk);
  const { id, wanted } = splitShown(words, known);
  const stored = await readRound(folder, id, "all");
  const aside = readWithdrawn(folder).get(stored.id);
  const { entries } = await readKnownNotebook(getDeskFolder(desk));
  const left = leaveAlone(stored, entries, getDate(undefined).slice(0, 10));
  const { leftAlone } = left;
  // A controls pass has no causes to weigh checks into.
  const checked = from === "controls" ? undefined : await readChecks(desk, stored, entries);
  const weighed =
    checked === undefined ? left.round : weighRound(left.round, checked.results, checked.desk);
  const round = { ...weighed, paths: weighed.paths.map(wordCauses) };
  const state = {
    dangers: await readDangers(desk, [], entries),
    leftAlone,
    ...(aside === undefined ? {} : { withdrawn: aside }),
  };
  if (wanted === undefined) return { round, ...state };
  if (isReferenceOf(wanted, round)) return { round, ...state, reference: referenceOf(round) };
  const withMeter = await createMeterWeigher(entries);
  const weigh = (path: RoundPath) => {
    const bare = left.round.paths.find((one) => one.path === path.path) ?? path;
    const metered = checked === undefined ? bare : withMeter(bare);
    return checked === undefined || metered === bare
      ? path
      : wordCauses(weighPath(metered, round, checked.results, checked.desk));
  };
  const found = readPathWords(wanted, round.paths);
  if (found?.kind === "strip") {
    const own = round.paths.filter(({ strip }) => strip === found.strip);
    return { round, ...state, strip: { strip: found.strip, paths: own.map(weigh) } };
  }
  if (found?.kind === "input") {
    const paths = round.paths.filter(({ input }) => input === found.input);
    throw new DeskroundError(
      "usage",
      `${found.input} is an input: of which strip?`,
      `For example: ${formatCommand(`show ${paths[0].path}`)}`,
    );
  }
  requireOne(wanted, round);
  return { round, ...state, path: weigh(parsePath(wanted, round.paths, `round ${round.id}`)) };
}

/** Which of the words name the round: the first ones or the last one, if any. */
function splitShown(
  words: readonly string[],
  known: readonly string[],
): { readonly id: string; readonly wanted?: string } {
  const [first, last] = [words[0], words.at(-1)];
  if (first === undefined || last === undefined) return { id: "last" };
  if (isRound(first, known)) {
    return words.length === 1 ? { id: first } : { id: first, wanted: words.slice(1).join(" ") };
  }
  if (words.length > 1 && isRound(last, known)) {
    return { id: last, wanted: words.slice(0, -1).join(" ") };
  }
  const all = words.join(" ");
  if (["list", "all"].includes(all.toLowerCase())) {
    const hint = `The rounds are listed by: ${formatCommand("show --list")}`;
    throw new DeskroundError("usage", `"${all}" is not a round, a strip or a path.`, hint);
  }
  if (["worst", "bad", "odd", "faulty", "faults", "ranking"].includes(words[0].toLowerCase())) {
    const hint = `\`${formatCommand("show")}\` prints the ranking, the oddest path first.`;
    throw new DeskroundError("usage", `"${all}" is not a round, a strip or a path.`, hint);
  }
  // A word that cannot be a path is treated as a round, so that the error is
  // about rounds.
  const isPath = Object.keys(splitPathWords(all)).length > 0 || words.length > 1;
  if (isPath || /^[\p{L}\s]+$/u.test(all) === false) return { id: "last", wanted: all };
  return findClosestWord(all, ["last", "oldest", "latest", "first"]) === undefined
    ? { id: "last", wanted: all }
    : { id: all };
}

function isRound(text: string, known: readonly string[]): boolean {
  if (findRoundId(known, text) !== undefined) return true;
  // A year, a day or something like an id means a round.
  return /^\d{4}(-\d{1,2}){0,3}$|^\d{1,2}\.\d{1,2}\.\d{2,4}$/.test(text.trim());
}

/** Rejects several paths or a range of strips: one is shown at a time. */
function requireOne(wanted: string, round: Round): void {
  const parts = wanted.split(/[\s,;+&-]+|\band\b/).filter((part) => part !== "");
  const isNamed = (part: string) => {
    const kind = readPathWords(part, round.paths)?.kind;
    return kind === "path" || kind === "strip";
  };
  if (parts.length < 2 || !parts.every(isNamed)) return;
  throw new DeskroundError(
    "usage",
    `${wanted}: show takes one path or strip at a time.`,
    `For example: ${formatCommand(`show ${parts[0]}`)}; without any it shows the whole round.`,
  );
}

/** Whether the reference path is meant, by its general name or the round's name for it. */
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
    `No controls pass is stored in ${nameFolder(getDeskFolder(desk))}.`,
    `\`${formatCommand("signal --profile controls")}\` begins one; --desk names another desk's folder.`,
  );
}

/** Weighs later meter readings into a path's causes; the stored round is not changed. */
async function createMeterWeigher(
  entries: readonly Entry[],
): Promise<(path: RoundPath) => RoundPath> {
  const open = entries.filter(isOpen);
  // Judging meter readings loads their tables, which a round without any does
  // not need.
  if (open.length === 0) return (path) => path;
  const { applyMeterFindings } = await import("../diagnose/meter-findings.js");
  const { listFindingsFor, listLatestMeters } = await import("../service/meter/latest-meters.js");
  const meters = listLatestMeters(open);
  return (path) => {
    const findings = listFindingsFor(path, meters);
    return findings.length === 0
      ? path
      : { ...path, causes: applyMeterFindings(path.causes, findings) };
  };
}

function isOpen({ line, closed }: Entry): boolean {
  return line.kind === "meter" && closed === undefined;
}

function folderOf(desk: string, from: ShownFrom): string {
  const folder = getDeskFolder(desk);
  return from === "controls" ? getControlsPassFolder(folder) : folder;
}

function damagedSummary({
  id,
  damaged: what,
  hint,
}: {
  readonly id: string;
  readonly damaged: string;
  readonly hint?: string;
}): RoundSummary {
  const damaged = hint === undefined ? what : `${what} ${hint}`;
  return { id, date: id.slice(0, 10), measured: 0, paths: 0, verdict: {}, damaged };
}

function toSummary(facts: RoundFacts): RoundSummary {
  const { id, date, paths, partial, shared, tooHigh } = facts;
  return {
    id,
    date,
    measured: paths.filter(({ status }) => status === "measured").length,
    paths: paths.length,
    ...(partial ? { partial: true } : {}),
    ...(shared === undefined ? {} : { shared }),
    ...(tooHigh === undefined ? {} : { tooHigh }),
    verdict: verdictOf(facts),
  };
}

function verdictOf(round: RoundFacts): RoundSummary["verdict"] {
  const entries = Object.entries(groupByStanding(round)).filter(([, paths]) => paths.length > 0);
  return Object.fromEntries(entries.map(([name, paths]) => [name, paths.map(({ path }) => path)]));
}
