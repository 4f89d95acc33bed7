import type { RoundFacts } from "./facts/types.js";

/** A stored round that was made from some of the same recordings. */
export interface SameRecordings {
  readonly round: string;
  /** Names of the files, as they are called now. */
  readonly files: readonly string[];
  /** Whether all of the recordings are among that round's. */
  readonly share: "all" | "some";
}

/**
 * Rounds that were made from the same recordings, by their checksums; the latest first.
 *
 * @param rounds oldest first
 * @param captures what is about to be analysed
 */
export function findSameRecordings(
  rounds: readonly Pick<RoundFacts, "id" | "captures">[],
  captures: readonly { readonly file: string; readonly sha256: string }[],
): readonly SameRecordings[] {
  return [...rounds].reverse().flatMap((round): SameRecordings[] => {
    const known = new Set(round.captures.map(({ sha256 }) => sha256));
    const files = captures.filter(({ sha256 }) => known.has(sha256)).map(({ file }) => file);
    if (files.length === 0) return [];
    const share = files.length === captures.length ? "all" : "some";
    return [{ round: round.id, files, share }];
  });
}
