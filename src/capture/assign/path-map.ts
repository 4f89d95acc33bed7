import { maxRecordingChannels, parseChannelList } from "../../desk/channels.js";
import { parsePath } from "../../desk/paths.js";
import { expandStrips } from "../../desk/strips.js";
import type { DeskPath } from "../../desk/types.js";
import { DeskroundError } from "../../errors.js";
import { sanitizeText } from "../containers/plain-text.js";

/** One line of a map: which path a return belongs to. */
export interface PathMapEntry {
  /** Absent for a return to leave out. */
  readonly path?: string;
  /** Capture, as the user wrote it; absent when returns are named by their order alone. */
  readonly file?: string;
  /** Channel of the file, from 0; absent if its channels are sides of one output. */
  readonly channel?: number;
  /** Which return of the file, or of its channel, from 1. */
  readonly nth?: number;
  /** The return that begins at this sample frame of the file, or near it; instead of `nth`. */
  readonly atFrame?: number;
  /** Source of the entry, for messages: "map.txt, line 3". */
  readonly where: string;
}

/**
 * Reads a map of returns to paths, from a file or from the command line. Either paths in the order
 * of the returns, separated by commas or line ends, with `-` for a return to leave out:
 *
 *     7/mic, 7/line, -, 8/mic
 *
 * or one line per return, with its file and its number in that file; without a number, it is the
 * next after the previous line of the same file:
 *
 *     # second evening
 *     evening 2.wav #1 7/mic
 *     evening 2.wav #3 8/mic
 *     retake.wav 9/mic
 *
 * Where the channels of a file are paths, `ch` and the channel's number follow its name:
 *
 *     evening.wav ch3 7/mic
 *
 * Instead of a number, `@` and the sample frame at which the return begins:
 *
 *     evening.wav @481920 7/mic
 *
 * Lines that begin with `#` are comments. A file's name may hold spaces.
 *
 * @param origin name of the text in messages: the file's name, or `--map`
 * @param paths of the desk
 * @throws DeskroundError `usage`, naming the line and the nearest path
 * @example
 * const path = (strip, input) => ({ path: `${strip}/${input}`, strip, input, family: input });
 *
 * const [first, second] = parseMap("7/mic\n# a comment\n-\n", "map.txt", [path("7", "mic")]);
 * first.path; // "7/mic"
 * second.path; // undefined
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
      lines.length === 1 ? sanitizeText(origin) : `${sanitizeText(origin)}, line ${index + 1}`;
    const items = content.split(",").map((item) => item.trim());
    if (items.some((item) => /\s/.test(item))) {
      const { file, channel, nth, atFrame, path } = splitLine(content, place);
      const source = channel === undefined ? file : `${file} ch${channel + 1}`;
      const on = channel === undefined ? {} : { channel };
      if (atFrame !== undefined) {
        entries.push({ file, ...on, atFrame, where: place, ...pathOf(path, place, paths) });
        return;
      }
      const number = nth ?? (counts.get(source) ?? 0) + 1;
      counts.set(source, number);
      const key = `${number} ${source}`;
      if (used.has(key)) {
        throw new DeskroundError(
          "usage",
          `${place}: return #${number} of ${sanitizeText(source)} is listed twice.`,
          "Give each return one line; a line without a number means the next return of its file.",
        );
      }
      used.add(key);
      entries.push({ file, ...on, nth: number, where: place, ...pathOf(path, place, paths) });
      return;
    }
    items.forEach((item, k) => {
      if (item === "") return;
      const where = items.length === 1 ? place : `${place}, entry ${k + 1}`;
      const range = expandRange(item, paths);
      if (range === undefined) entries.push({ where, ...pathOf(item, where, paths) });
      else for (const path of range) entries.push({ where, ...pathOf(path, where, paths) });
    });
  });
  return checked(entries, origin);
}

function checked(entries: readonly PathMapEntry[], origin: string): readonly PathMapEntry[] {
  if (entries.length === 0) {
    const hint = "Write one path for each return, e.g. 7/mic.";
    throw new DeskroundError("usage", `${sanitizeText(origin)}: holds no path.`, hint);
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
  let atFrame: number | undefined;
  const frame = /\s+@(\d{1,15})$/.exec(file);
  if (frame !== null) {
    atFrame = Number(frame[1]);
    file = file.slice(0, frame.index);
  }
  const number = frame === null ? /\s+#(\d+)$/.exec(file) : null;
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
  const on = /\s+ch(\d{1,2})$/i.exec(file);
  if (on === null || on[1] === "0" || on[1] === "00") {
    return { file: unquoted(file), nth, atFrame, path };
  }
  const channel = Number(on[1]) - 1;
  return { file: unquoted(file.slice(0, on.index)), channel, nth, atFrame, path };
}

function unquoted(file: string): string {
  return file.replace(/^(["'])(.+)\1$/, "$2");
}

/**
 * Reads a map of channels to paths, as in `ch1 7/mic, ch2 8/mic`, or one line each. After the
 * channel comes a path, or a strip if the input is known otherwise.
 *
 * @returns undefined for a text that is another kind of map
 * @throws DeskroundError `usage`
 * @example
 * const path = (strip, input) => ({ path: `${strip}/${input}`, strip, input, family: input });
 *
 * const paths = [path("7", "mic"), path("8", "mic")];
 * parseChannelMap("ch1 7/mic, ch2 8/mic", "--map", paths); // [["7/mic"], ["8/mic"]]
 * parseChannelMap("evening.wav 7/mic", "--map", paths); // undefined
 */
export function parseChannelMap(
  text: string,
  origin: string,
  paths: readonly DeskPath[],
): readonly (readonly string[])[] | undefined {
  const items = text
    .replace(/^\uFEFF/, "")
    .split(/\r\n|\r|\n/)
    .filter((line) => !line.trim().startsWith("#"))
    .flatMap((line) => line.split(","))
    .map((item) => item.trim())
    .filter((item) => item !== "");
  const pattern = /^ch\s*(\d{1,3})\s+(\S+)$/i;
  if (items.length === 0 || !items.every((item) => pattern.test(item))) return undefined;
  const channels: (readonly string[])[] = [];
  for (const item of items) {
    const [, number, name] = pattern.exec(item) as unknown as [string, string, string];
    const channel = Number(number) - 1;
    const { channels: meant, faults } = parseChannelList([name], paths);
    const fault =
      channel < 0 || channel >= maxRecordingChannels
        ? `channels are counted from 1 to ${maxRecordingChannels}`
        : channels[channel] !== undefined
          ? "the channel is listed twice"
          : meant.length > 1
            ? "one channel can hold one strip only"
            : faults[0]?.fault;
    if (fault !== undefined) {
      const hint = "Write a path or a strip for each channel, e.g. ch1 7/mic, ch2 8/mic.";
      throw new DeskroundError(
        "usage",
        `${sanitizeText(origin)}, "${sanitizeText(item)}": ${fault}.`,
        hint,
      );
    }
    channels[channel] = meant[0];
  }
  return Array.from(channels, (own) => own ?? []);
}

/** The paths of `1-24/line`; undefined if it is not a range. */
function expandRange(text: string, paths: readonly DeskPath[]): readonly string[] | undefined {
  const at = text.lastIndexOf("/");
  if (at < 1 || paths.some(({ path }) => path === text)) return undefined;
  const { names, faults } = expandStrips([text.slice(0, at)]);
  if (names.length < 2 || faults.length > 0) return undefined;
  return names.map((name) => `${name}${text.slice(at)}`);
}

function pathOf(text: string, where: string, paths: readonly DeskPath[]): { path?: string } {
  if (text === "-") return {};
  try {
    return { path: parsePath(text, paths).path };
  } catch (error) {
    if (!(error instanceof DeskroundError)) throw error;
    throw new DeskroundError(
      error.code,
      `${where}: ${sanitizeText(error.message)}`,
      error.hint,
      error,
    );
  }
}
