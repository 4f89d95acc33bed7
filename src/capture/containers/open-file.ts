import { closeSync, fstatSync, openSync, readSync, statSync } from "node:fs";
import { DeskroundError } from "../../errors.js";
import { sanitizeText } from "./plain-text.js";

/** A file open for positioned reads. */
export interface OpenFile {
  readonly file: string;
  /** Bytes. */
  readonly size: number;
  /**
   * Fills `target` from a byte position.
   *
   * @returns bytes read; fewer than asked at the end of the file
   */
  readInto(target: Uint8Array, position: number): number;
  close(): void;
}

/**
 * Opens a regular file. Pipes and devices are refused before opening, which could block forever,
 * and cannot be read by position.
 *
 * @throws DeskroundError `no-such-file`
 * @example
 * const source = openFile(recording);
 * const head = new Uint8Array(4);
 * source.readInto(head, 0); // 4
 * String.fromCharCode(...head); // "fLaC"
 * source.close();
 */
export function openFile(file: string): OpenFile {
  assertRegularFile(file);
  let fd: number;
  let size: number;
  try {
    fd = openSync(file, "r");
    size = fstatSync(fd).size;
  } catch (error) {
    throw createOpenError(file, error);
  }
  return {
    file,
    size,
    readInto: (target, position) => readFully(file, fd, target, position),
    close: () => closeSync(fd),
  };
}

/**
 * A file's name as messages show it.
 *
 * @example
 * toDisplayName("evil\u001b[2J.wav"); // "evil[2J.wav"
 */
export function toDisplayName(file: string): string {
  return sanitizeText(file);
}

/**
 * Error for the user when a file cannot be opened.
 *
 * @example
 * const error = createOpenError("a.wav", Object.assign(new Error(), { code: "ENOENT" }));
 * error.message; // "a.wav: there is no such file."
 */
export function createOpenError(file: string, error: unknown): DeskroundError {
  const name = toDisplayName(file);
  const code = errorCode(error);
  if (code === "ENOENT" || code === "ENOTDIR") {
    if (file.includes(lostBytes)) return strangeName(name, error);
    return new DeskroundError(
      "no-such-file",
      `${name}: there is no such file.`,
      `${checkName}${getTypingHint(file)}`,
      error,
    );
  }
  if (code === "EACCES" || code === "EPERM") {
    const hint = "Change the file's permissions, or copy it to a folder of your own.";
    return new DeskroundError("no-such-file", `${name}: no permission to read it.`, hint, error);
  }
  return new DeskroundError(
    "no-such-file",
    `${name}: cannot be opened (${code}).`,
    checkName,
    error,
  );
}

/** Node's replacement for bytes that are not UTF-8: the file may exist, but its name is lost. */
const lostBytes = "\uFFFD";

function strangeName(name: string, error: unknown): DeskroundError {
  return new DeskroundError(
    "no-such-file",
    `${name}: cannot be found by this name, which has bytes that are not UTF-8.`,
    "Rename the file or its folder, then name it again.",
    error,
  );
}

const checkName = "Check the name and the folder.";

/**
 * @throws DeskroundError `no-such-file` for folders, pipes, devices and missing files
 *
 * @example
 * assertRegularFile(recording); // undefined
 */
export function assertRegularFile(file: string): void {
  if (file === "") {
    const hint =
      "A file's name is missing on the command line; an unset variable leaves one empty.";
    throw new DeskroundError("no-such-file", "The name of a file is empty.", hint);
  }
  let kind: ReturnType<typeof statSync>;
  try {
    kind = statSync(file);
  } catch (error) {
    throw createOpenError(file, error);
  }
  if (kind.isFile()) return;
  const name = toDisplayName(file);
  if (kind.isDirectory()) {
    const hint = `Name the recordings in it, e.g. ${name.replace(/\/+$/, "")}/*.wav`;
    throw new DeskroundError("no-such-file", `${name}: is a folder, not a recording.`, hint);
  }
  const hint = "Save the recording as a file first.";
  throw new DeskroundError("no-such-file", `${name}: is a pipe or a device, not a file.`, hint);
}

/** Hint for mistakes with the shell: a pattern without a match, half of a name with a space. */
function getTypingHint(file: string): string {
  if (/[*?]/.test(file)) return " No file there matches that pattern, or it was in quotes.";
  return /\.\w+$/.test(file) ? "" : ' A name with spaces goes into quotes: "my recording.wav"';
}

/**
 * Error for a file that has become shorter since it was inspected.
 *
 * @example
 * shrunkError("a.wav").code; // "recording-damaged"
 */
export function shrunkError(file: string): DeskroundError {
  const message = `${toDisplayName(file)}: the file became shorter while it was read.`;
  const hint = "Stop the recording or the copying first, then try again.";
  return new DeskroundError("recording-damaged", message, hint);
}

function readFully(file: string, fd: number, target: Uint8Array, position: number): number {
  let filled = 0;
  while (filled < target.length) {
    let got: number;
    try {
      got = readSync(fd, target, filled, target.length - filled, position + filled);
    } catch (error) {
      const message = `${toDisplayName(file)}: reading failed at byte ${position + filled} (${errorCode(error)}).`;
      const hint =
        "The disk or the connection to it may be failing: copy the file and try the copy.";
      throw new DeskroundError("recording-damaged", message, hint, error);
    }
    if (got === 0) break;
    filled += got;
  }
  return filled;
}

function errorCode(error: unknown): string {
  if (error instanceof Error && "code" in error) return String(error.code);
  return error instanceof Error ? error.message : String(error);
}
