import { join } from "node:path";

/** Name of the folder, beside the desk file, in which rounds are kept. */
export const roundsFolderName = "rounds";

/** The folder of a desk's rounds, and a file in it. */
export function getRoundsFolder(folder: string, ...names: readonly string[]): string {
  return join(folder, roundsFolderName, ...names);
}

/** The folder of data cached from rounds, and a file in it. */
export function getIndexFolder(folder: string, ...names: readonly string[]): string {
  return getRoundsFolder(folder, ".index", ...names);
}
