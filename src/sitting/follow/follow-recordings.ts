import { readdirSync, statSync } from "node:fs";
import { basename, dirname, join } from "node:path";
import { inspectGrowing } from "../../capture/containers/inspect-growing.js";
import type { RecordingInfo } from "../../capture/types.js";
import { isRecordingName } from "../../desk/recording-kinds.js";
import { DeskroundError } from "../../errors.js";

/** A recording that is followed. */
export interface FollowedRecording {
  /** As it is now; absent while it holds no samples. */
  readonly info?: RecordingInfo;
  /** Does not change when the file is renamed. */
  readonly id: number;
  readonly file: string;
  /** Increases when another file takes its name, of which nothing has been examined yet. */
  readonly version: number;
  /** `ended`: its recorder has closed it, or has continued in another file. */
  readonly state: "growing" | "ended";
}

/** What happened to the files that are followed. */
export type FollowEvent =
  | { readonly kind: "began"; readonly file: string }
  | { readonly kind: "renamed"; readonly from: string; readonly file: string }
  | { readonly kind: "replaced"; readonly file: string }
  | { readonly kind: "gone"; readonly file: string }
  | { readonly kind: "folder-gone"; readonly folder: string }
  | { readonly kind: "unusable"; readonly file: string; readonly error: DeskroundError };

export interface FollowStep {
  /** In the order in which they started. */
  readonly recordings: readonly FollowedRecording[];
  readonly events: readonly FollowEvent[];
}

export interface Follower {
  /**
   * @param nowS a clock that never goes back, seconds
   * @param isAside whether a file, by its number, is not one in which a recorder continued
   */
  poll(nowS: number, isAside?: (id: number) => boolean): FollowStep;
}

/** What is followed. */
export interface FollowOptions {
  /** A file, which need not exist yet, or a folder in which files appear. */
  readonly target: string;
  /** Names in the folder from before the sitting, which do not belong to it. */
  readonly leftAlone: readonly string[];
}

/** A recording that its recorder closed has ended when nothing is added for this long, seconds. */
const closedS = 4;
/** The same for one that has a successor, seconds. */
const leftS = 0.5;

interface Followed {
  readonly id: number;
  file: string;
  inode: string;
  version: number;
  size: number;
  changedMs: number;
  changedAtS: number;
  info: RecordingInfo | undefined;
  isClosed: boolean;
  state: FollowedRecording["state"];
  isGone: boolean;
  isRefused: boolean;
}

/**
 * Follows the recordings that a recorder writes: a file that grows, is closed, renamed, replaced or
 * continued in another one, or the files of a folder as they appear. Nothing waits here; the caller
 * decides how often to poll.
 *
 * @example
 * const follower = createFollower({ target: recording, leftAlone: [] });
 * follower.poll(0).recordings.length; // 1
 */
export function createFollower({ target, leftAlone }: FollowOptions): Follower {
  const isFolder = isDirectory(target);
  const folder = isFolder ? target : dirname(target);
  const followed: Followed[] = [];
  const ignored = new Set(leftAlone);
  let isFolderGone = false;

  return {
    poll(nowS, isAside = () => false) {
      const events: FollowEvent[] = [];
      const names = listNames(folder);
      if (names === undefined) {
        if (!isFolderGone) events.push({ kind: "folder-gone", folder });
        isFolderGone = true;
        return { recordings: followed.map(asRecording), events };
      }
      isFolderGone = false;
      for (const one of followed) {
        if (names.includes(basename(one.file)) || one.isGone) continue;
        const moved = names.find(
          (name) =>
            !followed.some(({ file }) => basename(file) === name) &&
            inodeOf(join(folder, name)) === one.inode,
        );
        if (moved === undefined) {
          one.isGone = true;
          one.state = "ended";
          events.push({ kind: "gone", file: one.file });
        } else {
          const from = one.file;
          one.file = join(folder, moved);
          events.push({ kind: "renamed", from, file: one.file });
        }
      }
      const isMine = (name: string) =>
        isFolder ? !ignored.has(name) : name === basename(target) || !ignored.has(name);
      const fresh = names
        .filter((name) => isRecordingName(name) || (!isFolder && name === basename(target)))
        .filter(
          (name) =>
            isMine(name) &&
            !followed.some(({ file, isGone }) => basename(file) === name && !isGone),
        )
        .map((name) => ({ file: join(folder, name), inode: inodeOf(join(folder, name)) }))
        .filter((one): one is { file: string; inode: string } => one.inode !== undefined)
        .sort((a, b) => bornMs(a.file) - bornMs(b.file));
      for (const { file, inode } of fresh) {
        const before = followed.find((one) => one.file === file);
        if (before !== undefined) {
          Object.assign(before, blank(file, inode, nowS), { version: before.version + 1 });
          events.push({ kind: "replaced", file });
          continue;
        }
        followed.push({ ...blank(file, inode, nowS), id: followed.length, version: 1 });
        events.push({ kind: "began", file });
      }
      for (const one of followed) if (!one.isGone) look(one, nowS, events);
      // A recorder that continued in a new file adds nothing to the previous one.
      const grown = followed.findLastIndex(({ id, info }) => info !== undefined && !isAside(id));
      followed.forEach((one, k) => {
        if (k < grown && nowS - one.changedAtS >= leftS) one.state = "ended";
      });
      return { recordings: followed.map(asRecording), events };
    },
  };
}

function blank(file: string, inode: string, nowS: number): Omit<Followed, "version" | "id"> {
  return {
    file,
    inode,
    size: -1,
    changedMs: -1,
    changedAtS: nowS,
    info: undefined,
    isClosed: false,
    state: "growing",
    isGone: false,
    isRefused: false,
  };
}

function asRecording({ id, file, version, state, info, isGone }: Followed): FollowedRecording {
  return { id, file, version, state, ...(info === undefined || isGone ? {} : { info }) };
}

function look(one: Followed, nowS: number, events: FollowEvent[]): void {
  const { file } = one;
  try {
    const { size, mtimeMs } = statSync(file);
    const inode = inodeOf(file);
    if ((inode !== undefined && inode !== one.inode) || size < one.size) {
      const version = one.version + 1;
      Object.assign(one, blank(file, inode ?? one.inode, nowS), { version });
      events.push({ kind: "replaced", file });
    }
    if (size === one.size && mtimeMs === one.changedMs) {
      if (one.isClosed && nowS - one.changedAtS >= closedS) one.state = "ended";
      return;
    }
    one.size = size;
    one.changedMs = mtimeMs;
    one.changedAtS = nowS;
    one.state = "growing";
    const grown = inspectGrowing(file);
    if (grown === undefined) return;
    const before = one.info;
    if (
      before !== undefined &&
      (before.sampleRate !== grown.info.sampleRate || before.channels !== grown.info.channels)
    ) {
      one.version++;
      events.push({ kind: "replaced", file });
    }
    one.info = grown.info;
    one.isClosed = grown.isClosed;
    one.isRefused = false;
  } catch (error) {
    // It vanished between two polls; the next one will report it.
    if (
      error instanceof Error &&
      "code" in error &&
      (error.code === "ENOENT" || error.code === "no-such-file")
    )
      return;
    if (!(error instanceof DeskroundError)) throw error;
    if (!one.isRefused) events.push({ kind: "unusable", file, error });
    one.isRefused = true;
  }
}

/** Names in a folder; undefined if it cannot be read. */
export function listNames(folder: string): readonly string[] | undefined {
  try {
    return readdirSync(folder).filter((name) => !name.startsWith("."));
  } catch {
    return undefined;
  }
}

function isDirectory(name: string): boolean {
  return statSync(name, { throwIfNoEntry: false })?.isDirectory() ?? false;
}

function inodeOf(file: string): string | undefined {
  const state = statSync(file, { throwIfNoEntry: false });
  return state?.isFile() ? `${state.dev} ${state.ino}` : undefined;
}

function bornMs(file: string): number {
  const state = statSync(file, { throwIfNoEntry: false });
  return state === undefined ? 0 : state.birthtimeMs || state.mtimeMs;
}
