import { parsePath } from "../desk/paths.js";
import type { DeskPath } from "../desk/types.js";
import { DeskroundError } from "../errors.js";
import { plainText } from "./text.js";

/** One line of a map: which path a return belongs to. */
export interface PathMapEntry {
  /** Absent for a return that is to be left out. */
  readonly path?: string;
  /** Capture, as the user wrote it; absent when returns are named by their order alone. */
  readonly file?: string;
  /** Which return of the file, from 1. */
  readonly nth?: number;
  /** Where it was written, for messages: "map.txt, line 3". */
  readonly where: string;
}

/**
 * Reads a map of returns to paths, from a file or from the command line. Either paths in the
 * order in which the returns come, separated by commas or line ends, `-` for a return to leave
 * out:
 *
 *     7/mic, 7/line, -, 8/mic
 *
 * or a line for each return, with the file it is in and which of that file's returns it is; lines
 * without a number count on from the line before for the same file:
 *
 *     # second evening
 *     evening 2.wav #1 7/mic
 *     evening 2.wav #3 8/mic
 *     retake.wav 9/mic
 *
 * Lines that begin with `#` are comments. A file's name may hold spaces.
 *
 * @param origin what the text is called in messages: the file's name, or `--map`
 * @param paths of the desk
 * @throws DeskroundError `usage`, naming the line and the nearest path
 */
export function parseMap(
  text: string,
  origin: string,
  paths: readonly DeskPath[],
): readonly PathMapEntry[] {
  const entries: PathMapEntry[] = [];
  const used = new Set<string>();
  const counts = new Map<string, number>();
  const lines = text.replace(/^\uFEFF/, "").split(/\r\n|\r|\n/);
  lines.forEach((line, index) => {
    const content = line.trim();
    if (content === "" || content.startsWith("#")) return;
    const place =
      lines.length === 1 ? plainText(origin) : `${plainText(origin)}, line ${index + 1}`;
    const items = content.split(",").map((item) => item.trim());
    if (items.some((item) => /\s/.test(item))) {
      const { file, nth, path } = splitLine(content, place);
      const number = nth ?? (counts.get(file) ?? 0) + 1;
      counts.set(file, number);
      const key = `${number} ${file}`;
      if (used.has(key)) {
        throw new DeskroundError(
          "usage",
          `${place}: return #${number} of ${plainText(file)} stands twice.`,
          "Give each return one line; lines without a number count on from the line before.",
        );
      }
      used.add(key);
      entries.push({ file, nth: number, where: place, ...pathOf(path, place, paths) });
      return;
    }
    items.forEach((item, k) => {
      if (item === "") return;
      const where = items.length === 1 ? place : `${place}, entry ${k + 1}`;
      entries.push({ where, ...pathOf(item, where, paths) });
    });
  });
  return checked(entries, origin);
}

function checked(entries: readonly PathMapEntry[], origin: string): readonly PathMapEntry[] {
  if (entries.length === 0) {
    const hint = "Write one path for each return, as in 7/mic.";
    throw new DeskroundError("usage", `${plainText(origin)}: holds no path.`, hint);
  }
  const odd = entries.find(({ file }) => (file === undefined) !== (entries[0].file === undefined));
  if (odd === undefined) return entries;
  const message = `${odd.where}: some entries name a file, others do not.`;
  throw new DeskroundError("usage", message, "Name the file on every line, or on none.");
}

function splitLine(line: string, where: string) {
  const words = line.split(/\s+/);
  const path = words.at(-1) ?? "";
  let file = line.slice(0, line.length - path.length).trimEnd();
  let nth: number | undefined;
  const number = /\s+#(\d+)$/.exec(file);
  if (number !== null) {
    nth = Number(number[1]);
    file = file.slice(0, number.index);
    if (nth === 0) {
      throw new DeskroundError(
        "usage",
        `${where}: returns are counted from #1, there is no #0.`,
        "The first return of a file is #1.",
      );
    }
  }
  return { file: file.replace(/^(["'])(.+)\1$/, "$2"), nth, path };
}

function pathOf(text: string, where: string, paths: readonly DeskPath[]): { path?: string } {
  if (text === "-") return {};
  try {
    return { path: parsePath(text, paths).path };
  } catch (error) {
    if (!(error instanceof DeskroundError)) throw error;
    throw new DeskroundError(
      error.code,
      `${where}: ${plainText(error.message)}`,
      error.hint,
      error,
    );
  }
}
