import { closeSync, constants, fstatSync, openSync, readSync } from "node:fs";

/** Why a file is not read, besides the system's own errors. */
export class UnreadableFileError extends Error {
  /** `kind`: a pipe, a device or a folder; `size`: larger than is allowed. */
  constructor(readonly reason: "kind" | "size") {
    super(reason === "kind" ? "it is not a regular file" : "it is too large");
  }
}

/**
 * Reads a file that somebody else may have made: never more than a stated size, and never from a
 * pipe or a device, which could keep the program waiting for ever.
 *
 * @param largest bytes
 * @throws UnreadableFileError; the system's errors as they are
 */
export function readRegularFile(file: string, largest: number): Buffer {
  return openRegularFile(file, (handle, size) => {
    if (size > largest) throw new UnreadableFileError("size");
    return readUpTo(handle, size, largest);
  });
}

/** The most that is read at a time from a file in parts, bytes. */
const largestPart = 500_000_000;

/**
 * Reads parts of a file, under the same conditions; a part that goes beyond the end of the file, or
 * beyond a size limit, is shortened.
 *
 * @param work called with a reader of a number of bytes from a position
 */
export function withRegularFile<T>(
  file: string,
  work: (read: (from: number, length: number) => Buffer) => T,
): T {
  return openRegularFile(file, (handle, size) =>
    work((from, length) => {
      const bytes = Buffer.allocUnsafe(Math.max(0, Math.min(length, size - from, largestPart)));
      let done = 0;
      for (let more = 1; more > 0 && done < bytes.length; done += more) {
        more = readSync(handle, bytes, done, bytes.length - done, from + done);
      }
      return bytes.subarray(0, done);
    }),
  );
}

function openRegularFile<T>(file: string, work: (handle: number, size: number) => T): T {
  // Without O_NONBLOCK, opening a pipe waits for a writer.
  const handle = openSync(file, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
  try {
    const state = fstatSync(handle);
    if (!state.isFile()) throw new UnreadableFileError("kind");
    return work(handle, state.size);
  } finally {
    closeSync(handle);
  }
}

/** Files under /proc claim to be empty, and others may grow: everything there is read. */
function readUpTo(handle: number, size: number, largest: number): Buffer {
  let bytes = Buffer.allocUnsafe(Math.min(size, largest) + 1);
  let length = 0;
  for (;;) {
    const more = readSync(handle, bytes, length, bytes.length - length, null);
    if (more === 0) return bytes.subarray(0, length);
    length += more;
    if (length > largest) throw new UnreadableFileError("size");
    if (length === bytes.length) {
      const wider = Buffer.allocUnsafe(Math.min(2 * length, largest) + 1);
      bytes.copy(wider, 0, 0, length);
      bytes = wider;
    }
  }
}
