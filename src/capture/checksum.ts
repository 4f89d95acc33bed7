import { createHash } from "node:crypto";
import { createReadStream } from "node:fs";
import { openError, requireRegularFile } from "./open.js";

/**
 * SHA-256 of a file, so that a round names exactly the captures it was measured from.
 *
 * @returns 64 hexadecimal digits
 * @throws DeskroundError `no-such-file`
 */
export async function checksumFile(file: string): Promise<string> {
  requireRegularFile(file);
  const hash = createHash("sha256");
  try {
    for await (const block of createReadStream(file, { highWaterMark: 1 << 20 })) {
      hash.update(block);
    }
  } catch (error) {
    throw openError(file, error);
  }
  return hash.digest("hex");
}
