import { createHash } from "node:crypto";
import { createReadStream, fstatSync, openSync } from "node:fs";
import { assertRegularFile, createOpenError } from "./containers/open-file.js";

/**
 * SHA-256 of a file, so that a round names exactly the captures it was measured from. It counts
 * as long as it is when this is called: a file may grow faster than it can be read.
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

/** The bytes that a file has now. */
function openedNow(file: string): AsyncIterable<Uint8Array> {
  const fd = openSync(file, "r");
  // The last byte to be read: an empty file has none to give, and none to name.
  const end = Math.max(0, fstatSync(fd).size - 1);
  return createReadStream(file, { fd, start: 0, end, highWaterMark: 1 << 20 });
}
