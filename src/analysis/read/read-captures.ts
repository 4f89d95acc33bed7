import { realpathSync, statSync } from "node:fs";
import { checksumFile } from "../../capture/checksum.js";
import { inspectRecording } from "../../capture/containers/inspect-recording.js";
import { toDisplayName } from "../../capture/containers/open-file.js";
import type { SearchResult, SearchScope } from "../../capture/find/find-returns.js";
import { findEmbeddedSignal } from "../../capture/signal-file.js";
import type { RecordingInfo } from "../../capture/types.js";
import type { Doubt } from "../../doubt.js";
import { DeskroundError } from "../../errors.js";
import type { OnProgress } from "../types.js";
import { joinParts } from "./join-parts.js";
import { explainNoReturn, type NoReturn } from "./no-return.js";
import { type CaptureSearch, searchCaptures } from "./search-captures.js";
import { isSignalItself } from "./signal-itself.js";

/** A capture file, what was found in it, and its checksum. */
export interface ReadCapture {
  readonly info: RecordingInfo;
  readonly found: SearchResult;
  readonly sha256: string;
  /** `sides` of one output, or each the output of one of several `paths`. */
  readonly channels: SearchScope["channels"];
  /** What was heard instead, if it has no complete return. */
  readonly instead?: NoReturn;
  /** Set if a return that began in the previous file continues in this one. */
  readonly goesOn?: true;
}

/** Captures, and doubts about files that are not captures. */
export interface CaptureReadings {
  readonly captures: readonly ReadCapture[];
  readonly doubts: readonly Doubt[];
}

/**
 * Searches capture files for returns. All headers are checked before the first long search. The
 * test signal itself, if named among the captures, is left out. It is not an error here if no
 * capture holds a return: `jobs/read-returns.ts` refuses it, in words.
 *
 * @param channelsOf what the channels of a capture are; sides of one output when absent
 * @throws DeskroundError `no-return` for the signal itself alone; `usage` for a capture named
 * twice; `no-such-file`, `not-a-recording`, `recording-damaged`, `recording-unsupported`,
 * `signal-version` for a
 *   file that cannot be used
 */
export async function readCaptures(
  files: readonly string[],
  onProgress: OnProgress,
  channelsOf: (info: RecordingInfo) => SearchScope["channels"] = () => "sides",
): Promise<CaptureReadings> {
  const named = files.map(inspectRecording);
  checkNamedOnce(files);
  // A capture with a signal's chunks must be of this version.
  const signals = named.map(findEmbeddedSignal);
  const infos: RecordingInfo[] = [];
  for (const [i, info] of named.entries()) {
    if (!(await isSignalItself(signals[i], info))) infos.push(info);
  }
  if (infos.length === 0) throw onlySignal(named);

  const states = infos.map(({ file }) => stateOf(file));
  const searches = infos.map(
    (info): CaptureSearch => ({ info, scope: { channels: channelsOf(info) } }),
  );
  const search = searchCaptures(searches, (done) =>
    onProgress({ stage: "finding returns", done, total: infos.length }),
  );
  // Whichever fails first is reported; the other's rejection must be handled too.
  const [found, sums] = await Promise.all([search, checksums(infos)]);
  infos.forEach(({ file }, i) => {
    if (stateOf(file) !== states[i]) throw stillWritten(file);
  });
  const searched = searches.map((one, i) => ({ ...one, found: found[i] }));
  const joined = await joinParts(searched, (more) => searchCaptures(more, () => {}));
  const captures = joined.map(({ info, found, scope: { channels }, goesOn }, i): ReadCapture => {
    const capture = { info, found, channels, sha256: sums[i], ...(goesOn ? { goesOn } : {}) };
    if (found.returns.length > 0 || goesOn) return capture;
    return { ...capture, instead: explainNoReturn(found, info) };
  });
  checkCopies(captures);
  const doubts = named
    .filter((info) => !infos.includes(info))
    .map(({ file }): Doubt => ({ code: "is-the-signal", file }));
  return { captures, doubts };
}

/** Length and time of a file: if they change, something writes to it. */
function stateOf(file: string): string {
  const { size, mtimeMs } = statSync(file, { throwIfNoEntry: false }) ?? {};
  return `${size} ${mtimeMs}`;
}

function stillWritten(file: string): DeskroundError {
  return new DeskroundError(
    "recording-damaged",
    `${toDisplayName(file)}: was changed while it was read.`,
    "Stop the recording or the copying first, then try again.",
  );
}

/** Also finds the same file under two names, or by a link. */
function checkNamedOnce(files: readonly string[]): void {
  const real = files.map((file) => realpathSync(file));
  const twice = real.findIndex((file, i) => real.indexOf(file) !== i);
  if (twice < 0) return;
  const first = files[real.indexOf(real[twice])];
  const other = first === files[twice] ? "" : `, also as ${toDisplayName(first)}`;
  throw new DeskroundError(
    "usage",
    `${toDisplayName(files[twice])}: is named twice${other}.`,
    "Name every recording once, in the order they were recorded.",
  );
}

/** Rejects copies: two recordings of a desk are never identical; only those of silence may be. */
function checkCopies(captures: readonly ReadCapture[]): void {
  const heard = captures.filter(({ instead }) => instead === undefined);
  const firsts = new Map<string, string>();
  for (const { info, sha256 } of heard) {
    const first = firsts.get(sha256);
    if (first !== undefined) {
      throw new DeskroundError(
        "usage",
        `${toDisplayName(info.file)}: holds the same recording as ${toDisplayName(first)}.`,
        "Leave out the copy, or name the recording that was meant.",
      );
    }
    firsts.set(sha256, info.file);
  }
}

function onlySignal([first]: readonly RecordingInfo[]): DeskroundError {
  return new DeskroundError(
    "no-return",
    `${toDisplayName(first.file)}: is the test signal itself, not a recording of what came back.`,
    "Play it into the desk, record the mix output, and name that recording.",
  );
}

async function checksums(infos: readonly RecordingInfo[]): Promise<readonly string[]> {
  const sums: string[] = [];
  for (const { file } of infos) sums.push(await checksumFile(file));
  return sums;
}
