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

/** A kind of file that this program writes and may therefore replace by one of the same kind. */
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

/** Bytes of a file that decide whose it is. */
export const headLength = 4096;

/**
 * Checks that a name is free or is borne by a file that this program wrote, of the same kind, so
 * that replacing it loses nothing of anybody else's. The first bytes decide; where they cannot be
 * read, the answer is no. Links are followed; one that leads nowhere is left alone.
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
      `${file} was left as it is: it cannot be seen whether deskround wrote it (${getErrorReason(error)}).`,
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

/** Undefined where nothing has the name. */
function inspect(file: string, { isOwn }: OwnKind): { readonly own: boolean } | undefined {
  try {
    lstatSync(file);
  } catch (error) {
    if (["ENOENT", "ENOTDIR"].includes(getErrorCode(error))) return undefined;
    throw error;
  }
  if (!existsSync(file)) throw new Error("it is a link that leads nowhere");
  // Without O_NONBLOCK a pipe would be waited for.
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

/** Renaming a new file over another asks for the folder's permissions only, so the file's are asked here. */
function isProtected(file: string): boolean {
  try {
    accessSync(file, constants.W_OK);
  } catch {
    return true;
  }
  return noneMayWrite(file);
}

/** The superuser may write what nobody may, yet the protection was meant. */
function noneMayWrite(file: string): boolean {
  const handle = openSync(file, "r");
  try {
    return (fstatSync(handle).mode & 0o222) === 0;
  } finally {
    closeSync(handle);
  }
}
