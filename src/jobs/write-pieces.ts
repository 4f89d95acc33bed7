import { closeSync, existsSync, openSync, readSync, statSync } from "node:fs";
import { assertOwnFile, type OwnKind } from "../assert-own-file.js";
import { DeskroundError } from "../errors.js";
import { writeFileAtomic } from "../write-file-atomic.js";

/**
 * Writes a file piece by piece, unless an identical one exists.
 *
 * @param encode makes the pieces, the same each time @returns `kept` if an identical file existed
 * @throws DeskroundError `cannot-write`, with `hint`, if a different file has the name
 */
export function writePieces(
  file: string,
  encode: () => Iterable<Uint8Array>,
  write: "new" | "replace",
  { kind, hint }: { readonly kind: OwnKind; readonly hint: string },
): "written" | "kept" {
  if (write === "replace") assertOwnFile(file, kind);
  // Avoids writing an identical file to a temporary one first.
  const isThere = write === "new" && existsSync(file) && statSync(file).isFile();
  if (isThere && isSame(file, encode())) return "kept";
  if (!isThere && writeFileAtomic(file, encode(), write === "new" ? "new" : kind) === "written")
    return "written";
  throw new DeskroundError("cannot-write", `${file} exists already and was left as it is.`, hint);
}

function isSame(file: string, pieces: Iterable<Uint8Array>): boolean {
  let handle: number;
  try {
    handle = openSync(file, "r");
  } catch {
    return false;
  }
  try {
    let at = 0;
    for (const piece of pieces) {
      const there = Buffer.alloc(piece.length);
      const got = readSync(handle, there, 0, piece.length, at);
      if (got < piece.length || !there.equals(piece)) return false;
      at += got;
    }
    return readSync(handle, Buffer.alloc(1), 0, 1, at) === 0;
  } catch {
    return false;
  } finally {
    closeSync(handle);
  }
}
