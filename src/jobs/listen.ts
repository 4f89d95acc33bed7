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
   * The recording that is being written, or a folder in which recordings appear; may be left out
   * where the program records on its own.
   */
  readonly target?: string;
  /** Whether the program plays and records on its own, with the programs of desk.yaml. */
  readonly sound?: "play";
  /**
   * The only strips, paths or inputs that are wanted, and `unsure` for the paths that the last rounds
   * were unsure of; all of the desk when absent.
   */
  readonly only?: readonly string[];
  /** Which of the desk's signals is played, where there are several; with `sound` only. */
  readonly profile?: Profile;
  /** The signal that was played, when the recording alone should not decide it. */
  readonly signalFile?: string;
  /** Day of the round, YYYY-MM-DD; today when absent. */
  readonly date?: string;
  readonly calibration: "use" | "leave-out";
  /** Whether an open sitting of the same target is gone on with. */
  readonly sitting: "go-on" | "new";
  /** Whether recordings that are in the folder already belong to it. */
  readonly already: "leave-alone" | "include";
  readonly end: "by-command" | "when-complete";
}

/** What became of a sitting. */
export interface ListenResult {
  readonly sitting: string;
  /** Absent where the sitting was left, or nothing was heard in it. */
  readonly round?: Round;
  /** For a round of some paths: how it compares with the last good day; absent where none is stored. */
  readonly since?: SinceThen;
}

/**
 * Follows recordings as they are written, answers each return, and makes a round of them at the end:
 * the one that `analyze` makes of the same recordings with the same assignments.
 *
 * @param world how the sitting meets the world; the notebook is seen to here
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
 * Plays a soft signal through the interface and says what comes back, before a round.
 *
 * @throws DeskroundError `usage` where nothing can be played or recorded
 */
export async function tryChain(
  request: Pick<ListenRequest, "desk" | "signalFile" | "profile">,
): Promise<ChainCheck> {
  const sound = openSound(request);
  return withThreadPool(() => sound.checkChain());
}

/** The word in `only` for the paths that the last rounds were unsure of. */
const unsureWord = "unsure";

/** Puts paths in the place of the word; what else is named stays. */
async function nameUnsure(only: readonly string[], folder: string): Promise<readonly string[]> {
  if (!only.some((text) => text.trim().toLowerCase() === unsureWord)) return only;
  const rounds = await readRoundsToWhole(folder);
  if (rounds.length === 0) {
    throw new DeskroundError(
      "usage",
      "--only unsure: there is no stored round of the whole desk that could be unsure of a path.",
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

/** The newest rounds, back to the second one of the whole desk; none where there is no whole one. */
async function readRoundsToWhole(folder: string): Promise<readonly Round[]> {
  const rounds: Round[] = [];
  let wholes = 0;
  for (const id of [...listRounds(folder)].reverse()) {
    const round = await readRoundUnlessDamaged(folder, id);
    if (round === undefined) continue;
    if (round.partial === undefined) wholes++;
    // Between the two whole ones nothing is of interest any more.
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
  // A clock that was set back while it lasted: the day on which it began is the better one.
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

/** A journal names files so that it holds wherever the program is started; people by what they typed. */
function withNames(rename: (name: string) => string): (line: Decision) => Decision {
  return (line) => {
    if (line.kind === "renamed")
      return { ...line, from: rename(line.from), file: rename(line.file) };
    return "file" in line ? { ...line, file: rename(line.file) } : line;
  };
}

/** Names a recording beside or in what is followed as its user named that, whatever the folder is. */
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
