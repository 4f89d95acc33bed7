import { DeskroundError } from "../../errors.js";
import type { RecordingInfo } from "../types.js";
import { inspectRecording } from "./inspect-recording.js";
import { openFile } from "./open-file.js";
import { containers, getContainer } from "./registry.js";

/** Contents of a recording that may still be growing. */
export interface GrowingRecording {
  /** As for a finished recording, with the frames present now. */
  readonly info: RecordingInfo;
  /** Whether its header says how long it is: a recorder writes that when it closes the file. */
  readonly isClosed: boolean;
}

/** Bytes; a file without a complete header is shorter than this. */
const mostHeadBytes = 65_536;

/**
 * Inspects a recording that is still being written: the length in its header may be 0, all ones or
 * out of date, so the file size decides.
 *
 * @param file of a kind that says how it grows
 * @returns undefined if there are no samples yet
 * @throws DeskroundError `no-such-file`, `not-a-recording`, `recording-damaged`,
 *   `recording-unsupported`: the last also for a file that cannot be followed while it is written
 * @example
 * // Of a FLAC file nobody can tell how far it was written.
 * let code;
 * try {
 *   inspectGrowing(recording);
 * } catch (error) {
 *   code = error.code;
 * }
 * [code]; // ["recording-unsupported"]
 */
export function inspectGrowing(file: string): GrowingRecording | undefined {
  let info: RecordingInfo;
  try {
    info = inspectRecording(file);
  } catch (error) {
    if (isYetToCome(file, error)) return undefined;
    throw error;
  }
  const { growth } = getContainer(info.container);
  if (growth === undefined) throw cannotGrow(info);
  const frameBytes = (info.channels * info.bits) / 8;
  const source = openFile(file);
  try {
    const there = Math.floor((source.size - info.dataOffset) / frameBytes);
    const isOpen = info.doubts.some(({ code }) => openLengths.has(code));
    if (info.frames >= there) return { info, isClosed: !isOpen };
    return growth.isOver(source, info.dataOffset + info.frames * frameBytes)
      ? { info, isClosed: !isOpen }
      : { info: { ...info, frames: there }, isClosed: false };
  } finally {
    source.close();
  }
}

const openLengths: ReadonlySet<string> = new Set(["length-not-given", "samples-cut-short"]);

/** Whether the problem with a file is only that its recorder has just started. */
function isYetToCome(file: string, error: unknown): boolean {
  if (!(error instanceof DeskroundError)) return false;
  if (error.code !== "not-a-recording" && error.code !== "recording-damaged") return false;
  const source = openFile(file);
  try {
    if (source.size > mostHeadBytes) return false;
    const head = new Uint8Array(Math.min(4, source.size));
    source.readInto(head, 0);
    const text = Buffer.from(head).toString("latin1");
    return (
      head.every((byte) => byte === 0) ||
      containers.some(({ growth }) => growth?.beginnings.some((id) => id.startsWith(text)))
    );
  } finally {
    source.close();
  }
}

function cannotGrow({ file, container }: RecordingInfo): DeskroundError {
  return new DeskroundError(
    "recording-unsupported",
    `${file}: ${container} cannot be followed while it is written.`,
    "Record as WAV, or analyze the file when it is finished.",
  );
}
