import { existsSync, mkdirSync, statSync } from "node:fs";
import { dirname, join, relative, resolve } from "node:path";
import { parseWantedPaths } from "../analysis/place/wanted-paths.js";
import type { OnProgress } from "../analysis/types.js";
import { inspectRecording } from "../capture/containers/inspect-recording.js";
import { readSignalFile } from "../capture/signal-file.js";
import { getDeskFolder } from "../desk/desk-file.js";
import { readDesk } from "../desk/read/read-desk.js";
import { isRecordingName } from "../desk/recording-kinds.js";
import { DeskroundError } from "../errors.js";
import { readCalibration } from "../history/calibration.js";
import { assertClockForward } from "../history/clock.js";
import { compareWithLastGoodDay, type SinceThen } from "../history/last-good-day.js";
import { readRoundUnlessDamaged } from "../history/read-round-unless-damaged.js";
import { assertStorable, listRounds } from "../history/store.js";
import type { Round } from "../history/types.js";
import { listUnsurePaths } from "../history/unsure-paths.js";
import type { Profile } from "../signal/types.js";
import type { ChainCheck } from "../sitting/check-chain.js";
import { listNames } from "../sitting/follow/follow-recordings.js";
import { formatSittingMap } from "../sitting/format-sitting-map.js";
import {
  beginJournal,
  claimDesk,
  findOpenSitting,
  getSittingsFolder,
  openJournal,
  type SittingHead,
} from "../sitting/journal.js";
import { runSitting } from "../sitting/run-sitting.js";
import type { SittingOutcome, SittingWorld } from "../sitting/sitting-world.js";
import type { Decision } from "../sitting/types.js";
import { withThreadPool } from "../threads/thread-pool.js";
import { writeFileAtomic } from "../write-file-atomic.js";
import { analyze } from "./analyze.js";
import { noteFault } from "./note/note-fault.js";
import { openSound } from "./play-and-record.js";
import { getDate } from "./wall-time.js";

/** What `listen` is asked to do. */
export interface ListenRequest {
  /** Folder that holds desk.yaml and rounds/, or the desk file itself. */
  readonly desk: string;
  /**
   * The recording that is being written, or a folder in which recordings appear; optional if the
   * program itself records.
   */
  readonly target?: string;
  /** `play`: deskround plays and records, by the programs named in desk.yaml. */
  readonly sound?: "play";
  /**
   * Strips, paths or inputs to record, and `unsure` for the paths that the last rounds were unsure
   * of; the whole desk when absent.
   */
  readonly only?: readonly string[];
  /** Which of several signals of the desk is played; with `sound` only. */
  readonly profile?: Profile;
  /** File of the signal that was played; recognised from the recording when absent. */
  readonly signalFile?: string;
  /** Day of the round, YYYY-MM-DD; today when absent. */
  readonly date?: string;
  readonly calibration: "use" | "leave-out";
  /** Whether to continue an open sitting of the same target. */
  readonly sitting: "go-on" | "new";
  /** Whether recordings already in the folder belong to it. */
  readonly already: "leave-alone" | "include";
  readonly end: "by-command" | "when-complete";
}

/** What became of a sitting. */
export interface ListenResult {
  readonly sitting: string;
  /** Absent if the sitting was left open, or had no returns. */
  readonly round?: Round;
  /** For a round of some paths: how it compares with the last good day; absent if none is stored. */
  readonly since?: SinceThen;
}

/**
 * Follows recordings as they are written, answers each return, and makes a round of them at the
 * end: the one that `analyze` makes of the same recordings with the same assignments.
 *
 * @param world the sitting's input and output; the notebook is added here
 * @throws DeskroundError `usage`, `cannot-write`, and whatever `analyze` throws
 */
export async function listen(
  request: ListenRequest,
  world: Omit<SittingWorld, "note">,
  onProgress: OnProgress,
): Promise<ListenResult> {
  const desk = readDesk(request.desk);
  const folder = getDeskFolder(request.desk);
  const date = getDate(request.date);
  const target = request.target ?? join(folder, "recordings", date.slice(0, 10));
  const sound = request.sound === "play" ? openSound(request) : undefined;
  if (sound !== undefined) mkdirSync(target, { recursive: true });
  assertFollowable(target);
  assertStorable(folder);
  if (request.date === undefined) assertClockForward(folder, date.slice(0, 10));
  const calibration =
    request.calibration === "leave-out" ? undefined : await readCalibration(folder);
  const played =
    request.signalFile === undefined
      ? undefined
      : readSignalFile(inspectRecording(request.signalFile)).table;
  const release = claimDesk(folder);
  try {
    const open = request.sitting === "new" ? undefined : findOpenSitting(folder, resolve(target));
    const asked = request.only ?? open?.head.wanted;
    const only = asked && (await nameUnsure(asked, folder));
    const wanted = only === undefined ? desk.paths : parseWantedPaths(only, desk.paths);
    const head = open?.head ?? createHead(request, target, date, only);
    const journal = open === undefined ? beginJournal(folder, head) : openJournal(folder, open.id);
    const decisions = (open?.decisions ?? []).map(withNames(asTyped(target)));
    const absolute: typeof journal = {
      id: journal.id,
      append: (line) => journal.append(line.kind === "end" ? line : withNames(resolve)(line)),
    };
    const { leftAlone } = head;
    world.tell({
      kind: "begun",
      sitting: journal.id,
      target,
      wanted: wanted.length,
      leftAlone: isFolder(target) ? leftAlone.filter(isRecordingName).length : 0,
      end: request.end,
      ...(open === undefined
        ? {}
        : { resumed: decisions.filter(({ kind }) => kind === "take").length }),
    });
    const note = (path: string, text: string) => {
      noteFault({ desk: request.desk, place: path, text });
    };
    const options = {
      desk,
      folder,
      target,
      leftAlone,
      wanted,
      calibration,
      played,
      journal: absolute,
      decisions,
      end: request.end,
      date,
    };
    const outcome = await withThreadPool(() =>
      runSitting(options, {
        ...world,
        note,
        ...(sound === undefined ? {} : { play: sound.play, checkChain: sound.checkChain }),
      }),
    );
    if (outcome.how === "leave") return { sitting: journal.id };
    const round = await makeRound(request, only, folder, journal.id, outcome, onProgress);
    journal.append({ kind: "end", ...(round === undefined ? {} : { round: round.id }) });
    if (round === undefined) return { sitting: journal.id };
    const since = only === undefined ? undefined : await compareWithLastGoodDay(folder, round);
    return { sitting: journal.id, round, ...(since === undefined ? {} : { since }) };
  } finally {
    release();
  }
}

/**
 * Plays a soft signal through the interface and reports what comes back; a test before a round.
 *
 * @throws DeskroundError `usage` if nothing can be played or recorded
 */
export async function tryChain(
  request: Pick<ListenRequest, "desk" | "signalFile" | "profile">,
): Promise<ChainCheck> {
  const sound = openSound(request);
  return withThreadPool(() => sound.checkChain());
}

/** The word in `only` for the paths that the last rounds were unsure of. */
const unsureWord = "unsure";

/** Replaces the word `unsure` by paths; other words stay. */
async function nameUnsure(only: readonly string[], folder: string): Promise<readonly string[]> {
  if (!only.some((text) => text.trim().toLowerCase() === unsureWord)) return only;
  const rounds = await readRoundsToWhole(folder);
  if (rounds.length === 0) {
    throw new DeskroundError(
      "usage",
      "--only unsure: no round of the whole desk is stored, so no path is unsure.",
      "Name strips or paths, as in --only 7,12/mic.",
    );
  }
  const unsure = listUnsurePaths(rounds).map(({ path }) => path);
  const named = only.filter((text) => text.trim().toLowerCase() !== unsureWord);
  if (unsure.length + named.length === 0) {
    throw new DeskroundError(
      "usage",
      `--only unsure: round ${rounds[0].id} is sure of every path.`,
      "Name strips or paths, as in --only 7,12/mic, or leave --only out.",
    );
  }
  return [...unsure, ...named];
}

/** The newest rounds, back to the second one of the whole desk; none if there is no whole one. */
async function readRoundsToWhole(folder: string): Promise<readonly Round[]> {
  const rounds: Round[] = [];
  let wholes = 0;
  for (const id of [...listRounds(folder)].reverse()) {
    const round = await readRoundUnlessDamaged(folder, id);
    if (round === undefined) continue;
    if (round.partial === undefined) wholes++;
    // Partial rounds older than the newest whole one do not matter.
    else if (wholes > 0) continue;
    rounds.push(round);
    if (wholes === 2) break;
  }
  return wholes === 0 ? [] : rounds;
}

async function makeRound(
  request: ListenRequest,
  only: readonly string[] | undefined,
  folder: string,
  sitting: string,
  outcome: SittingOutcome,
  onProgress: OnProgress,
): Promise<Round | undefined> {
  const { state, files } = outcome;
  if (!state.takes.some(({ path }) => path !== undefined)) return undefined;
  // If the clock was set back during the sitting, use the day on which it
  // began.
  const began = sitting.slice(0, 10);
  const isBack = getDate(undefined).slice(0, 10) < began;
  const day = request.date ?? (isBack ? began : undefined);
  const map = join(getSittingsFolder(folder), `${sitting}.map`);
  writeFileAtomic(map, formatSittingMap(outcome), mapKind);
  return analyze(
    {
      desk: request.desk,
      captures: files,
      map,
      silent: state.silent,
      keep: "store",
      calibration: request.calibration,
      ...(only === undefined ? {} : { only }),
      ...(request.signalFile === undefined ? {} : { signalFile: request.signalFile }),
      ...(day === undefined ? {} : { date: day }),
    },
    onProgress,
  );
}

const mapStart = "# what deskround heard";
const mapKind = {
  what: "map of a sitting",
  isOwn: (head: Buffer) => head.toString("utf8", 0, mapStart.length) === mapStart,
};

function createHead(
  { already }: ListenRequest,
  target: string,
  date: string,
  only: readonly string[] | undefined,
): SittingHead {
  const isFolder = statSync(target, { throwIfNoEntry: false })?.isDirectory() ?? false;
  const there = listNames(isFolder ? target : dirname(target)) ?? [];
  const leftAlone = isFolder && already === "include" ? [] : there;
  return {
    kind: "sitting",
    version: 1,
    date,
    target: resolve(target),
    leftAlone,
    ...(only === undefined ? {} : { wanted: only }),
  };
}

/**
 * The journal stores names that do not depend on the working folder; messages show names as typed.
 */
function withNames(rename: (name: string) => string): (line: Decision) => Decision {
  return (line) => {
    if (line.kind === "renamed")
      return { ...line, from: rename(line.from), file: rename(line.file) };
    return "file" in line ? { ...line, file: rename(line.file) } : line;
  };
}

/** Names a recording in the way the user named the file or folder being followed. */
function asTyped(target: string): (name: string) => string {
  const folder = isFolder(target) ? target : dirname(target);
  return (name) => join(folder, relative(resolve(folder), name));
}

function isFolder(target: string): boolean {
  return statSync(target, { throwIfNoEntry: false })?.isDirectory() ?? false;
}

function assertFollowable(target: string): void {
  if (existsSync(target) || existsSync(dirname(target))) return;
  throw new DeskroundError(
    "no-such-file",
    `${target}: neither the file nor its folder exists.`,
    "Name the file that the recorder writes, or the folder it writes into.",
  );
}
