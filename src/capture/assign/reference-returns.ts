import { normalizeName } from "../../desk/names.js";
import { recordingExtension } from "../../desk/recording-kinds.js";
import { toReferenceEntry } from "../../desk/reference-path.js";
import type { DeskPath, NamePattern } from "../../desk/types.js";
import type { SignalSpan } from "../types.js";
import { parseTakeNumber, readFileName } from "./file-names.js";
import { matchPatterns } from "./fit-patterns.js";

/** When the reference path was played: before all paths, or after them. */
export type ReferenceTurn = "first" | "last";

/**
 * Whether a file is named for the reference path: by a pattern of the desk file, or by that path's
 * name without any path of the desk.
 *
 * @param name of the reference path
 * @example
 * const path = (strip, input) => ({ path: `${strip}/${input}`, strip, input, family: input });
 *
 * isReferenceFile("insert first.wav", "insert", [path("7", "mic")], []); // true
 * isReferenceFile("7-mic.wav", "insert", [path("7", "mic")], []); // false
 */
export function isReferenceFile(
  file: string,
  name: string,
  paths: readonly DeskPath[],
  patterns: readonly NamePattern[],
): boolean {
  const known = [...paths, toReferenceEntry({ name })];
  if (matchPatterns(file, patterns, known).some(({ input }) => input === name)) return true;
  if (!wordsOf(file).includes(normalizeName(name))) return false;
  return readFileName(file, paths, patterns).says === "nothing";
}

/** Words in file names for first and last. */
const turnWords: Readonly<Record<ReferenceTurn, ReadonlySet<string>>> = {
  first: new Set(["first", "before", "start", "begin", "beginning"]),
  last: new Set(["last", "after", "end", "final"]),
};

/**
 * When the reference path was played, as the name of a file says.
 *
 * @example
 * readReferenceTurn("reference before.wav"); // "first"
 * readReferenceTurn("reference.wav"); // undefined
 */
export function readReferenceTurn(file: string): ReferenceTurn | undefined {
  const words = wordsOf(file);
  const says = (turn: ReferenceTurn) => words.some((word) => turnWords[turn].has(word));
  return says("first") === says("last") ? undefined : says("first") ? "first" : "last";
}

/**
 * Returns of the reference path in the order in which they were played, as names and takes say.
 *
 * @example
 * const one = (file) => ({ file, channel: 0, startSample: 0, lengthSamples: 100 });
 * const sorted = sortReferenceReturns([one("reference after.wav"), one("reference before.wav")]);
 * sorted.map(({ file }) => file); // ["reference before.wav", "reference after.wav"]
 */
export function sortReferenceReturns<R extends SignalSpan>(returns: readonly R[]): readonly R[] {
  const place = { first: 0, undefined: 1, last: 2 };
  const rank = ({ file }: R) => place[readReferenceTurn(file) ?? "undefined"];
  const take = ({ file }: R) => parseTakeNumber(file);
  return [...returns].sort(
    (a, b) => rank(a) - rank(b) || (a.file === b.file ? 0 : take(a) - take(b)),
  );
}

function wordsOf(file: string): readonly string[] {
  const name = file.replace(/^.*[/\\]/s, "").replace(recordingExtension, "");
  return normalizeName(name).split(/[^\p{L}\p{N}\p{M}.+]+|(?<=\p{L})(?=\d)|\.(?=\s|$)/u);
}

/** Where the reference path may be in a list of returns, and how many paths the list may have. */
export interface ReferenceFrame {
  /** Whether it is played before the first of the paths, and after the last. */
  readonly leads: boolean;
  readonly trails: boolean;
  /** Possible numbers of paths in the list. */
  readonly counts: readonly number[];
  /** The same if the list was played more than once. */
  readonly passes: readonly number[];
  /** Whether the list is the whole run sheet, so that it begins with the reference path. */
  readonly isSheet: boolean;
}

/** Returns with those of the reference path taken out. */
export interface PeeledReturns<R extends SignalSpan> {
  readonly lead?: R;
  readonly trail?: R;
  readonly rest: readonly R[];
}

/**
 * Takes the reference path's returns off the ends of a list in run-sheet order, if the number of
 * returns shows that it was played: as many as there are paths contain none, one more contains the
 * first, two more both. With any other number, a whole run sheet is assumed to have been followed
 * from the start as far as recorded.
 *
 * @example
 * const returns = ["a", "b", "c", "d"].map((file) => ({ file }));
 * // Two more than the paths: the first and the last are the reference path's.
 * const frame = { leads: true, trails: true, counts: [2], passes: [], isSheet: true };
 * const { lead, trail, rest } = peelReference(returns, frame);
 * [lead.file, trail.file]; // ["a", "d"]
 * rest.length; // 2
 */
export function peelReference<R extends SignalSpan>(
  returns: readonly R[],
  { leads, trails, counts, passes, isSheet }: ReferenceFrame,
): PeeledReturns<R> {
  const none = { rest: returns };
  const whole = returns.filter(({ missing }) => missing === undefined);
  const heard = returns.filter(({ missing }) => missing !== "all");
  const lists = [whole, heard, returns];
  const fits = (more: number, known = counts) =>
    lists.find(({ length }) => known.some((count) => length === count + more));
  if ((!leads && !trails) || fits(0) !== undefined) return none;
  const most = (leads ? 1 : 0) + (trails ? 1 : 0);
  const both = fits(most);
  if (both !== undefined) return peel(both, leads, trails);
  if (fits(0, passes) !== undefined) return none;
  const one = most === 2 ? fits(1) : undefined;
  if (one !== undefined) return peel(one, true, false);
  if (!isSheet) return none;
  const isLonger = heard.length > Math.max(...counts) + most;
  return peel(returns, leads, trails && isLonger);
}

function peel<R extends SignalSpan>(
  returns: readonly R[],
  leads: boolean,
  trails: boolean,
): PeeledReturns<R> {
  const last = returns.length - 1;
  const [lead, trail] = [leads ? returns[0] : undefined, trails ? returns[last] : undefined];
  return {
    ...(lead === undefined ? {} : { lead }),
    ...(trail === undefined || trail === lead ? {} : { trail }),
    rest: returns.filter((one) => one !== lead && one !== trail),
  };
}
