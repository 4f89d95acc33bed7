import { folded } from "../desk/names.js";
import { nearest } from "../desk/paths.js";
import { DeskroundError } from "../errors.js";
import { counted, grouped, listed } from "./lists.js";
import type { PathMapEntry } from "./map.js";
import { shownName } from "./open.js";
import type { Assignment, Played } from "./types.js";

export interface Mapped<R extends Played> {
  readonly assignments: readonly Assignment<R>[];
  readonly unassigned: readonly R[];
  /** Returns the map says nothing about. */
  readonly rest: readonly R[];
}

/**
 * Gives returns the paths that a map names.
 *
 * @param returns in order of assignment
 * @param warnings takes sentences for the user
 * @throws DeskroundError `usage` when the map names what is not there
 */
export function applyMap<R extends Played>(
  returns: readonly R[],
  map: readonly PathMapEntry[],
  warnings: string[],
): Mapped<R> {
  if (map.length === 0) return { assignments: [], unassigned: [], rest: returns };
  const inFiles = map[0].file !== undefined;
  // A list counts what was heard; by its name a capture without a return can be given a path too.
  const heard = returns.filter(({ missing }) => missing !== "all");
  const target = inFiles ? returnsOfFiles(returns) : (_: PathMapEntry, k: number) => heard[k];
  const handled = new Set<R>();
  const assignments: Assignment<R>[] = [];
  map.forEach((entry, k) => {
    const one = target(entry, k);
    if (one === undefined) throw tooMany(entry, map, heard);
    handled.add(one);
    if (entry.path !== undefined) assignments.push({ path: entry.path, return: one, by: "map" });
  });
  const files = new Set([...handled].map(({ file }) => file));
  const decided = (one: R) => (inFiles ? files.has(one.file) : one.missing !== "all");
  const unassigned = returns.filter((one) => decided(one) && !handled.has(one));
  if (unassigned.length > 0) {
    const names = listed([...new Set(unassigned.map(({ file }) => shownName(file)))]);
    warnings.push(
      `${names}: ${counted(unassigned.length, "return")} not named by the map ${unassigned.length === 1 ? "was" : "were"} left out.`,
    );
  }
  return { assignments, unassigned, rest: returns.filter((one) => !decided(one)) };
}

/** Finds a map entry's return by its file, written with or without the folder. */
function returnsOfFiles<R extends Played>(returns: readonly R[]) {
  const files = grouped(returns, ({ file }) => file);
  return (entry: PathMapEntry): R | undefined => {
    const wanted = entry.file ?? "";
    const exact = files.get(wanted);
    if (exact !== undefined) return nthOf(exact, entry);
    const alike = [...files.keys()].filter((file) => folded(baseName(file)) === folded(wanted));
    if (alike.length === 1) return nthOf(files.get(alike[0]) ?? [], entry);
    const name = shownName(wanted);
    if (alike.length > 1) {
      const message = `${entry.where}: several captures are called ${name}.`;
      throw new DeskroundError("usage", message, `Write the folder too, as in ${alike[0]}.`);
    }
    const known = [...files.keys()].map(baseName);
    const like = nearest(wanted, known);
    const hint =
      like === undefined ? `Captures with returns: ${listed(known)}.` : `Did you mean ${like}?`;
    const message = `${entry.where}: no return was found in ${name}, or it is not among the captures.`;
    throw new DeskroundError("usage", message, hint);
  };
}

function nthOf<R extends Played>(own: readonly R[], { channel, nth = 1 }: PathMapEntry) {
  return own.filter((one) => channel === undefined || one.channel === channel)[nth - 1];
}

function tooMany(
  { where, file, channel, nth }: PathMapEntry,
  map: readonly PathMapEntry[],
  returns: readonly Played[],
): DeskroundError {
  const hint = "List only returns that were heard; listen to the capture to see which are missing.";
  const message =
    file === undefined
      ? `${where}: the map lists ${counted(map.length, "return")}, ${returns.length} were found.`
      : `${where}: ${shownName(file)} has no return #${nth}${channel === undefined ? "" : ` on channel ${channel + 1}`}.`;
  return new DeskroundError("usage", message, hint);
}

function baseName(file: string): string {
  return file.replace(/^.*[/\\]/s, "");
}
