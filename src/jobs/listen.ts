import { existsSync, mkdirSync, statSync } from "node:fs";
import { dirname, isAbsolute, join, relative, resolve } from "node:path";
import { parseWantedPaths } from "../analysis/place/wanted-paths.js";
import type { OnProgress } from "../analysis/types.js";
import { inspectRecording } from "../capture/containers/inspect-recording.js";
import { readSignalFile } from "../capture/signal-file.js";
import { getDeskFolder } from "../desk/desk-file.js";
import { readDesk } from "../desk/read/read-desk.js";
import { DeskroundError } from "../errors.js";
import { readCalibration } from "../history/calibration.js";
import { assertClockForward } from "../history/clock.js";
import { assertStorable } from "../history/store.js";
import type { Round } from "../history/types.js";
import type { ChainCheck } from "../sitting/check-chain.js";
import { isRecordingName, listNames } from "../sitting/follow/follow-recordings.js";
import { formatSittingMap } from "../sitting/format-sitting-map.js";
import {
  beginJournal,
  claimDesk,
  findOpenSitting,
  getSittingsFolder,
  openJournal,
  type SittingHead,
} from "../sitting/journal.js";
import { runSitting, type SittingOutcome, type SittingWorld } from "../sitting/run-sitting.js";
import type { Decision } from "../sitting/types.js";
import { withThreadPool } from "../threads/thread-pool.js";
import { writeFileAtomic } from "../write-file-atomic.js";
import { analyze } from "./analyze.js";
import { noteFault } from "./note.js";
import { openSound } from "./play-and-record.js";
import { getDate } from "./wall-time.js";

/** What `listen` is asked to do. */
export interface ListenRequest {
  /** Folder that holds desk.yaml and rounds/, or the desk file itself. */
  readonly desk: string;
  /**
   * The recording that is being written, or a folder in which recordings appear; may be left out
   * where the program records by itself.
   */
  readonly target?: string;
  /** Whether the program plays and records by itself, with the programs of desk.yaml. */
  readonly sound?: "play";
  /** The only strips, paths or inputs that are wanted; all of the desk when absent. */
  readonly only?: readonly string[];
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
  const wanted =
    request.only === undefined ? desk.paths : parseWantedPaths(request.only, desk.paths);
  const calibration =
    request.calibration === "leave-out" ? undefined : await readCalibration(folder);
  const played =
    request.signalFile === undefined
      ? undefined
      : readSignalFile(inspectRecording(request.signalFile)).table;
  const release = claimDesk(folder);
  try {
    const open = request.sitting === "new" ? undefined : findOpenSitting(folder, resolve(target));
    const head = open?.head ?? createHead(request, target, date);
    const journal = open === undefined ? beginJournal(folder, head) : openJournal(folder, open.id);
    const decisions = (open?.decisions ?? []).map(withNames(fromHere));
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
    const round = await makeRound(request, folder, journal.id, outcome, onProgress);
    journal.append({ kind: "end", ...(round === undefined ? {} : { round: round.id }) });
    return { sitting: journal.id, ...(round === undefined ? {} : { round }) };
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
  request: Pick<ListenRequest, "desk" | "signalFile">,
): Promise<ChainCheck> {
  const sound = openSound(request);
  return withThreadPool(() => sound.checkChain());
}

async function makeRound(
  request: ListenRequest,
  folder: string,
  sitting: string,
  outcome: SittingOutcome,
  onProgress: OnProgress,
): Promise<Round | undefined> {
  const { state, files } = outcome;
  if (!state.takes.some(({ path }) => path !== undefined)) return undefined;
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
      ...(request.only === undefined ? {} : { only: request.only }),
      ...(request.signalFile === undefined ? {} : { signalFile: request.signalFile }),
      ...(request.date === undefined ? {} : { date: request.date }),
    },
    onProgress,
  );
}

const mapStart = "# what deskround heard";
const mapKind = {
  what: "map of a sitting",
  isOwn: (head: Buffer) => head.toString("utf8", 0, mapStart.length) === mapStart,
};

function createHead({ only, already }: ListenRequest, target: string, date: string): SittingHead {
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

/** A file below the folder in which the program was started, by its way from there. */
function fromHere(name: string): string {
  const way = relative(process.cwd(), name);
  return way.startsWith("..") || isAbsolute(way) ? name : way;
}

function isFolder(target: string): boolean {
  return statSync(target, { throwIfNoEntry: false })?.isDirectory() ?? false;
}

function assertFollowable(target: string): void {
  if (existsSync(target) || existsSync(dirname(target))) return;
  throw new DeskroundError(
    "no-such-file",
    `${target}: neither the file nor its folder is there.`,
    "Name the file that the recorder writes, or the folder it writes into.",
  );
}
