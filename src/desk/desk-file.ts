import { statSync } from "node:fs";
import { dirname, join } from "node:path";

export const deskFileName = "desk.yaml";

/** The desk file that a folder, or the file's own name, stands for. */
export function getDeskFile(folderOrFile: string): string {
  return isFile(folderOrFile) ? folderOrFile : join(folderOrFile, deskFileName);
}

/** The folder in which a desk's rounds, captures and notes lie. */
export function getDeskFolder(folderOrFile: string): string {
  return isFile(folderOrFile) ? dirname(folderOrFile) : folderOrFile;
}

/** A folder in a message; where somebody stands has no name that says anything. */
export function nameFolder(folder: string): string {
  return folder === "." || folder === "" ? "this folder" : folder;
}

function isFile(name: string): boolean {
  try {
    return statSync(name).isFile();
  } catch {
    return false;
  }
}
