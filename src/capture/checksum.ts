import { createHash } from "node:crypto";
import { createReadStream, fstatSync, openSync } from "node:fs";
import { assertRegularFile, createOpenError } from "./containers/open-file.js";

/**
 * SHA-256 of a file, so that a round names exactly the captures it was measured from. Only the
 * length at the time of the call counts: a file may grow faster than it is read.
 *
 * @returns 64 hexadecimal digits
 * @throws DeskroundError `no-such-file`
 * @example
 * (await checksumFile(recording)).length; // 64
 */
export async function checksumFile(file: string): Promise<string> {
  assertRegularFile(file);
  const hash = createHash("sha256");
  try {
    for await (const block of openedNow(file)) hash.update(block);
  } catch (error) {
    throw createOpenError(file, error);
  }
  return hash.digest("hex");
}

/** Stream of the bytes that a file has now. */
function openedNow(file: string): AsyncIterable<Uint8Array> {
  const fd = openSync(file, "r");
  // Index of the last byte; at least 0, as streams take no negative end.
  const end = Math.max(0, fstatSync(fd).size - 1);
  return createReadStream(file, { fd, start: 0, end, highWaterMark: 1 << 20 });
}
