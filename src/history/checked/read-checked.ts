import { readRegularFile } from "../../read-regular-file.js";
import { isUntouched } from "../round-file-state.js";
import { getIndexFolder } from "../rounds-folder.js";
import type { Round } from "../types.js";
import { parseChecked } from "./checked-round.js";

/** The most that is read, bytes; a round of 800 paths has some 20 million. */
const largest = 500_000_000;

/**
 * A round as it was kept when its file was read and checked, if that file is untouched since.
 *
 * @param folder the desk's folder
 * @returns undefined where nothing is kept, or the round's file has to be read anew
 */
export function readChecked(folder: string, id: string): Round | undefined {
  try {
    const bytes = readRegularFile(getCheckedFile(folder, id), largest);
    return parseChecked(bytes, (source) => isUntouched(folder, id, source));
  } catch {
    return undefined;
  }
}

/** The file that is kept of a round. */
export function getCheckedFile(folder: string, id: string): string {
  return getIndexFolder(folder, `${id}.checked`);
}
