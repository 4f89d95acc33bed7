import { DeskroundError } from "../../errors.js";
import { readRegularFile, withRegularFile } from "../../read-regular-file.js";
import { isUntouched } from "../round-file-state.js";
import { getIndexFolder, getRoundsFolder } from "../rounds-folder.js";
import type { Round } from "../types.js";
import { type CurvePoints, listPoints, parseChecked } from "./checked-round.js";

/** The most that is read of a round's file, bytes; a round of 800 paths has some 20 million. */
const largest = 500_000_000;

/**
 * A round as it was kept when its file was read and checked, if that file is untouched since. The
 * points of its curves are read when they are first accessed.
 *
 * @param folder the desk's folder
 * @returns undefined if nothing is kept, or the round's file has to be read again
 */
export function readChecked(folder: string, id: string): Round | undefined {
  const file = getCheckedFile(folder, id);
  try {
    return parseChecked({
      read: (from, length) => withRegularFile(file, (read) => read(from, length)),
      isCurrent: (source) => isUntouched(folder, id, source),
      readAnew: (kind) => readPoints(folder, id, kind),
    });
  } catch {
    return undefined;
  }
}

/** The file that is kept of a round. */
export function getCheckedFile(folder: string, id: string): string {
  return getIndexFolder(folder, `${id}.checked`);
}

/** Points from the round's own file, which was checked when it was last read. */
function readPoints(folder: string, id: string, kind: string): CurvePoints {
  const file = getRoundsFolder(folder, `${id}.json`);
  try {
    return listPoints(JSON.parse(readRegularFile(file, largest).toString("utf8")), kind);
  } catch (error) {
    throw new DeskroundError(
      "round-file",
      `The round ${file} was changed or taken away while it was read.`,
      "Run the same command again.",
      error,
    );
  }
}
