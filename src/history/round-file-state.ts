import { statSync } from "node:fs";
import { getRoundsFolder } from "./rounds-folder.js";

/** The state of a round's file when data from it were cached. */
export interface RoundFileState {
  readonly size: number;
  /** Times and number as the file system has them; nanoseconds. */
  readonly mtimeNs: string;
  readonly ctimeNs: string;
  readonly inode: string;
  /** When this was looked at, by the same clock. */
  readonly seenNs: string;
}

/** Coarsest timestamps of the file systems in use: two writes within this may look like one. */
const coarsestNs = 2_000_000_000n;

/** How a round's file is now; undefined if there is none, or it cannot be seen. */
export function getRoundFileState(folder: string, id: string): RoundFileState | undefined {
  try {
    const file = getRoundsFolder(folder, `${id}.json`);
    const { size, mtimeNs, ctimeNs, ino } = statSync(file, { bigint: true });
    return {
      size: Number(size),
      mtimeNs: String(mtimeNs),
      ctimeNs: String(ctimeNs),
      inode: String(ino),
      seenNs: String(BigInt(Date.now()) * 1_000_000n),
    };
  } catch {
    return undefined;
  }
}

/** Whether a round's file is the one that was looked at, as far as the file system knows. */
export function isUntouched(folder: string, id: string, source: RoundFileState): boolean {
  const now = getRoundFileState(folder, id);
  return (
    now !== undefined &&
    (["size", "mtimeNs", "ctimeNs", "inode"] as const).every((key) => now[key] === source[key]) &&
    isSettled(source)
  );
}

/** Whether a file had been left alone for long enough that its next change has another time. */
export function isSettled({ ctimeNs, seenNs }: RoundFileState): boolean {
  return BigInt(seenNs) - BigInt(ctimeNs) > coarsestNs;
}
