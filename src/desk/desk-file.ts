import { statSync } from "node:fs";
import { dirname, join } from "node:path";
import { getProgramName } from "../text/program-name.js";
import type { TextFile } from "../text-file.js";

export const deskFileName = "desk.yaml";

/** The desk file, for messages about it. */
export const deskFileKind: TextFile = {
  code: "desk-file",
  what: "desk file",
  without: `Name the desk's folder with --desk, or write a desk file with \`${getProgramName()} init\`.`,
};

/** The desk file, given by its folder or its own name. */
export function getDeskFile(folderOrFile: string): string {
  return isFile(folderOrFile) ? folderOrFile : join(folderOrFile, deskFileName);
}

/** The folder with a desk's rounds, captures and notes. */
export function getDeskFolder(folderOrFile: string): string {
  return isFile(folderOrFile) ? dirname(folderOrFile) : folderOrFile;
}

/** Name of a folder for messages; the working folder has no useful name. */
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
