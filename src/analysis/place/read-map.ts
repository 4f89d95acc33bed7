import { existsSync } from "node:fs";
import {
  type PathMapEntry,
  parseChannelMap,
  parseMap,
} from "../../capture/assign/assign-returns.js";
import { createOpenError, toDisplayName } from "../../capture/containers/open-file.js";
import type { DeskPath } from "../../desk/types.js";
import { DeskroundError } from "../../errors.js";
import { readRegularFile, UnreadableFileError } from "../../read-regular-file.js";

/** Bytes; far more than any map written by hand. */
const largestMap = 1_000_000;

/** Contents of `--map`: paths of returns, or of the channels of all multichannel captures. */
export interface PathMap {
  readonly entries?: readonly PathMapEntry[];
  /** As in `Desk`. */
  readonly channels?: readonly (readonly string[])[];
}

/**
 * Reads the map given by `--map`: a file if one has that name, otherwise the list itself.
 *
 * @throws DeskroundError `usage`; `no-such-file` if the text must be a file name
 */
export function readMap(map: string, paths: readonly DeskPath[]): PathMap {
  if (existsSync(map)) return parsed(textOf(map), map, paths);
  if (looksLikeFile(map, paths)) {
    throw new DeskroundError(
      "no-such-file",
      `--map: there is no file ${toDisplayName(map)}.`,
      "Check its name and folder, or write the paths themselves: --map 1/mic,2/mic",
    );
  }
  return parsed(map, "--map", paths);
}

function parsed(text: string, origin: string, paths: readonly DeskPath[]): PathMap {
  const channels = parseChannelMap(text, origin, paths);
  return channels === undefined ? { entries: parseMap(text, origin, paths) } : { channels };
}

/**
 * Whether a text must be a file name: one word that is not a path, with an extension or several
 * slashes.
 */
function looksLikeFile(map: string, paths: readonly DeskPath[]): boolean {
  const text = map.trim();
  if (/[\s,]/.test(text) || paths.some(({ path }) => path === text)) return false;
  return /\.[a-z]{1,5}$/i.test(text) || /[/\\].*[/\\]|^[./~\\]/.test(text);
}

function textOf(file: string): string {
  const name = toDisplayName(file);
  const hint = "A map is a text file with a path for each return, e.g. 7/mic.";
  let bytes: Uint8Array;
  try {
    bytes = readRegularFile(file, largestMap);
  } catch (error) {
    if (error instanceof UnreadableFileError) {
      const why = error.reason === "size" ? "too large to be a map" : "no file";
      throw new DeskroundError("usage", `--map: ${name} is ${why}.`, hint);
    }
    throw createOpenError(file, error);
  }
  try {
    if (bytes.includes(0)) throw new TypeError("a zero byte");
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch (error) {
    throw new DeskroundError("usage", `--map: ${name} is not text in UTF-8.`, hint, error);
  }
}
