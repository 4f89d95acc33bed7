import { type Found, findReturns } from "../capture/find.js";
import { shownName } from "../capture/open.js";
import { embeddedSignal } from "../capture/signal-file.js";
import type { WavInfo } from "../capture/types.js";
import { checksumFile, inspectWav, openSamples } from "../capture/wav.js";
import { DeskroundError } from "../errors.js";
import { heardInstead } from "./heard.js";
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

  const total = infos.reduce((sum, info) => sum + info.frames, 0);
  let before = 0;
  const captures: ReadCapture[] = [];
  for (const info of infos) {
    const checksum = checksumFile(info.file);
    // An unreadable file is reported by the search; the checksum's own refusal comes second.
    checksum.catch(() => {});
    const reader = openSamples(info);
    try {
      const found = findReturns(reader, (share) => {
        onProgress({ stage: "finding", done: Math.round(before + share * info.frames), total });
      });
      before += info.frames;
      const instead =
        found.returns.length === 0 ? { instead: heardInstead(found, info.sampleRate) } : {};
      captures.push({ info, found, sha256: await checksum, ...instead });
    } finally {
      reader.close();
    }
  }
  if (captures.every(({ instead }) => instead !== undefined)) throw nothingFound(captures);
  return captures;
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
