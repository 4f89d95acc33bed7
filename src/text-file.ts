import { DeskroundError, type ErrorCode } from "./errors.js";
import { readRegularFile, UnreadableFileError } from "./read-regular-file.js";

/** No handwritten file comes near this, bytes. */
const largestFile = 1_000_000;

/** A kind of file written by hand, for messages about it. */
export interface TextFile {
  readonly code: ErrorCode;
  /** As in "no … can be read": "desk file". */
  readonly what: string;
  /** What to do if there is none. */
  readonly without: string;
}

/**
 * Reads a text file written by hand.
 *
 * @throws DeskroundError with the kind's code: not readable, too large, not in UTF-8
 */
export function readTextFile(file: string, kind: TextFile): string {
  let bytes: Uint8Array;
  try {
    bytes = readRegularFile(file, largestFile);
  } catch (error) {
    if (error instanceof UnreadableFileError) {
      const why = error.reason === "size" ? `too large to be a ${kind.what}` : "not a regular file";
      throw new DeskroundError(kind.code, `${file} is ${why}.`, kind.without, error);
    }
    throw new DeskroundError(
      kind.code,
      `No ${kind.what} can be read at ${file}.`,
      kind.without,
      error,
    );
  }
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch (error) {
    throw new DeskroundError(
      kind.code,
      `${file} is not text in UTF-8.`,
      "Save it again from the editor with the encoding UTF-8.",
      error,
    );
  }
}
