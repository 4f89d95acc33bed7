import type { Found } from "../capture/find.js";
import { shownName } from "../capture/open.js";
import { embeddedSignal } from "../capture/signal-file.js";
import type { WavInfo } from "../capture/types.js";
import { checksumFile, inspectWav } from "../capture/wav.js";
import { DeskroundError } from "../errors.js";
import { runFindTask } from "./find-task.js";
import { heardInstead } from "./heard.js";
import { onThreads, type ThreadJob } from "./threads.js";
import type { OnProgress } from "./types.js";

/** A capture file, what was found in it, and its checksum. */
export interface ReadCapture {
  readonly info: WavInfo;
  readonly found: Found;
  readonly sha256: string;
  /** What was heard instead, when it holds no return. */
  readonly instead?: string;
}

/**
 * Looks through capture files for returns. All headers are checked before the first long search.
 *
 * @throws DeskroundError `no-return` when none of them holds one; `no-such-file`, `not-wav`,
 *   `wav-damaged`, `wav-unsupported`, `signal-version` for a file that cannot be used
 */
export async function readCaptures(
  files: readonly string[],
  onProgress: OnProgress,
): Promise<readonly ReadCapture[]> {
  const twice = files.find((file, i) => files.indexOf(file) !== i);
  if (twice !== undefined) {
    throw new DeskroundError(
      "usage",
      `${shownName(twice)}: is named twice.`,
      "Name every capture once; takes of a path are told by their files' names.",
    );
  }
  const infos = files.map(inspectWav);
  // A capture that carries a signal's own chunks must carry those of this version.
  for (const info of infos) embeddedSignal(info);

  const search = onThreads(finding, infos, (done) =>
    onProgress({ stage: "finding", done, total: infos.length }),
  );
  // Whichever fails first is reported; the other's refusal must not go unheard.
  const [found, sums] = await Promise.all([search, checksums(files)]);
  const captures = infos.map((info, i): ReadCapture => {
    const capture = { info, found: found[i], sha256: sums[i] };
    if (found[i].returns.length > 0) return capture;
    return { ...capture, instead: heardInstead(found[i], info.sampleRate) };
  });
  if (captures.every(({ instead }) => instead !== undefined)) throw nothingFound(captures);
  return captures;
}

const finding: ThreadJob<WavInfo, Found> = {
  script: new URL("./find-worker.js", import.meta.url),
  run: runFindTask,
};

async function checksums(files: readonly string[]): Promise<readonly string[]> {
  const sums: string[] = [];
  for (const file of files) sums.push(await checksumFile(file));
  return sums;
}

const mostNamed = 3;

function nothingFound(captures: readonly ReadCapture[]): DeskroundError {
  const hint =
    "Was the signal played into the desk while this was recorded? Check the level and the patch, then record again.";
  if (captures.length === 1) {
    const [{ info, instead }] = captures;
    const message = `${shownName(info.file)}: no return was found; what was heard is ${instead}.`;
    return new DeskroundError("no-return", message, hint);
  }
  const named = captures
    .slice(0, mostNamed)
    .map(({ info, instead }) => `${shownName(info.file)}: ${instead}`);
  const more = captures.length > mostNamed ? "; …" : "";
  return new DeskroundError(
    "no-return",
    `None of the ${captures.length} captures holds a return (${named.join("; ")}${more}).`,
    hint,
  );
}
