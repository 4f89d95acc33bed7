import { join } from "node:path";

/** What the folder is called, beside the desk file, in which rounds are kept. */
export const roundsFolderName = "rounds";

/** The folder of a desk's rounds, and a file in it. */
export function getRoundsFolder(folder: string, ...names: readonly string[]): string {
  return join(folder, roundsFolderName, ...names);
}
