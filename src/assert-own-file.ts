import {
  accessSync,
  closeSync,
  constants,
  existsSync,
  fstatSync,
  lstatSync,
  openSync,
  readSync,
} from "node:fs";
import { DeskroundError } from "./errors.js";
import { getErrorCode, getErrorReason } from "./get-error-reason.js";

/** A kind of file that this program writes and may therefore replace with one of the same kind. */
export interface OwnKind {
  /** As in "is not a … written by deskround": `report`. */
  readonly what: string;
  /**
   * Whether a file is of this kind.
   *
   * @param head its first bytes, at most `headLength` of them
   * @param size bytes of the whole file
   */
  readonly isOwn: (head: Buffer, size: number) => boolean;
}

/** Bytes at the start of a file that show who wrote it. */
export const headLength = 4096;

/**
 * Checks that a name is free or belongs to a file of the same kind that this program wrote, so that
 * replacing it destroys nobody else's work. The first bytes decide; if they cannot be read, the
 * answer is no. Links are followed; a broken link is left alone.
 *
 * @throws DeskroundError `cannot-write`
 */
export function assertOwnFile(file: string, kind: OwnKind): void {
  let found: { readonly own: boolean } | undefined;
  try {
    found = inspect(file, kind);
  } catch (error) {
    if (getErrorCode(error) === "EISDIR") {
      throw new DeskroundError(
        "cannot-write",
        `Cannot write ${file}: ${getErrorReason(error)}.`,
        "Name another place.",
        error,
      );
    }
    throw new DeskroundError(
      "cannot-write",
      `${file} was left as it is: deskround cannot tell whether it wrote it (${getErrorReason(error)}).`,
      "Name another file, or move that one away.",
      error,
    );
  }
  if (found === undefined) return;
  if (!found.own) {
    throw new DeskroundError(
      "cannot-write",
      `${file} is not a ${kind.what} written by deskround, so it was left as it is.`,
      "Name another file, or move that one away.",
    );
  }
  if (isProtected(file)) {
    throw new DeskroundError(
      "cannot-write",
      `${file} is write-protected, so it was left as it is.`,
      "Name another file, or permit writing to that one.",
    );
  }
}

/** Undefined if there is no such file. */
function inspect(file: string, { isOwn }: OwnKind): { readonly own: boolean } | undefined {
  try {
    lstatSync(file);
  } catch (error) {
    if (["ENOENT", "ENOTDIR"].includes(getErrorCode(error))) return undefined;
    throw error;
  }
  if (!existsSync(file)) throw new Error("it is a broken link");
  // Without O_NONBLOCK, opening a pipe would wait.
  const handle = openSync(file, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
  try {
    const state = fstatSync(handle);
    if (!state.isFile()) throw Object.assign(new Error("not a regular file"), { code: "EISDIR" });
    const head = Buffer.alloc(headLength);
    let length = 0;
    for (let more = 1; more > 0 && length < headLength; length += more) {
      more = readSync(handle, head, length, headLength - length, length);
    }
    return { own: isOwn(head.subarray(0, length), state.size) };
  } finally {
    closeSync(handle);
  }
}

/**
 * Renaming a new file over another needs only the folder's permissions, so the file's are checked
 * here.
 */
function isProtected(file: string): boolean {
  try {
    accessSync(file, constants.W_OK);
  } catch {
    return true;
  }
  return noneMayWrite(file);
}

/** The superuser may write to any file, but the protection was intended. */
function noneMayWrite(file: string): boolean {
  const handle = openSync(file, "r");
  try {
    return (fstatSync(handle).mode & 0o222) === 0;
  } finally {
    closeSync(handle);
  }
}
