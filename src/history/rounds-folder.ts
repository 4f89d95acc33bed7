import { join } from "node:path";

/** What the folder is called, beside the desk file, in which rounds are kept. */
export const roundsFolderName = "rounds";

/** The folder of a desk's rounds, and a file in it. */
export function getRoundsFolder(folder: string, ...names: readonly string[]): string {
  return join(folder, roundsFolderName, ...names);
}

/** The folder of what is kept of rounds for later readings, and a file in it. */
export function getIndexFolder(folder: string, ...names: readonly string[]): string {
  return getRoundsFolder(folder, ".index", ...names);
}
