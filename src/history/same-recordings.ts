import { readFileSync } from "node:fs";
import { join } from "node:path";
import { listRounds } from "./store.js";

/** A stored round that was made from some of the same recordings. */
export interface SameRecordings {
  readonly round: string;
  /** Names of the files, as they are called now. */
  readonly files: readonly string[];
  /** Whether all of the recordings are among that round's. */
  readonly share: "all" | "some";
}

/**
 * Rounds that were made from the same recordings, by their checksums; the latest first. A round that
 * cannot be read has none.
 *
 * @param folder the desk's folder
 * @param captures what is about to be analysed
 */
export function findSameRecordings(
  folder: string,
  captures: readonly { readonly file: string; readonly sha256: string }[],
): readonly SameRecordings[] {
  return [...listRounds(folder)].reverse().flatMap((round): SameRecordings[] => {
    const known = new Set(readChecksums(join(folder, "rounds", `${round}.json`)));
    const files = captures.filter(({ sha256 }) => known.has(sha256)).map(({ file }) => file);
    if (files.length === 0) return [];
    return [{ round, files, share: files.length === captures.length ? "all" : "some" }];
  });
}

function readChecksums(file: string): readonly string[] {
  try {
    const { captures } = JSON.parse(readFileSync(file, "utf8"));
    return captures.map(({ sha256 }: { sha256: string }) => sha256);
  } catch {
    return [];
  }
}
