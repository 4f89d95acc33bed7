import { folded } from "../desk/names.js";
import { nearest } from "../desk/paths.js";
import { DeskroundError } from "../errors.js";
import { counted, grouped, listed } from "./lists.js";
import type { PathMapEntry } from "./map.js";
import { shownName } from "./open.js";
import type { Assignment, Return } from "./types.js";

export interface Mapped {
  readonly assignments: readonly Assignment[];
  readonly unassigned: readonly Return[];
  /** Returns the map says nothing about. */
  readonly rest: readonly Return[];
}

/**
 * Gives returns the paths that a map names.
 *
 * @param returns in order of assignment
 * @param warnings takes sentences for the user
 * @throws DeskroundError `usage` when the map names what is not there
 */
export function applyMap(
  returns: readonly Return[],
  map: readonly PathMapEntry[],
  warnings: string[],
): Mapped {
  if (map.length === 0) return { assignments: [], unassigned: [], rest: returns };
  const inFiles = map[0].file !== undefined;
  const target = inFiles ? returnsOfFiles(returns) : (_: PathMapEntry, k: number) => returns[k];
  const handled = new Set<Return>();
  const assignments: Assignment[] = [];
  map.forEach((entry, k) => {
    const one = target(entry, k);
    if (one === undefined) throw tooMany(entry, map, returns);
    handled.add(one);
    if (entry.path !== undefined) assignments.push({ path: entry.path, return: one, by: "map" });
  });
  const files = new Set([...handled].map(({ file }) => file));
  const decided = (one: Return) => !inFiles || files.has(one.file);
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
function returnsOfFiles(returns: readonly Return[]) {
  const files = grouped(returns, ({ file }) => file);
  return (entry: PathMapEntry): Return | undefined => {
    const wanted = entry.file ?? "";
    const exact = files.get(wanted);
    if (exact !== undefined) return exact[(entry.nth ?? 1) - 1];
    const alike = [...files.keys()].filter((file) => folded(baseName(file)) === folded(wanted));
    if (alike.length === 1) return files.get(alike[0])?.[(entry.nth ?? 1) - 1];
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

function tooMany(
  { where, file, nth }: PathMapEntry,
  map: readonly PathMapEntry[],
  returns: readonly Return[],
): DeskroundError {
  const hint = "List only returns that were heard; listen to the capture to see which are missing.";
  const message =
    file === undefined
      ? `${where}: the map lists ${counted(map.length, "return")}, ${returns.length} were found.`
      : `${where}: ${shownName(file)} has no return #${nth}.`;
  return new DeskroundError("usage", message, hint);
}

function baseName(file: string): string {
  return file.replace(/^.*[/\\]/s, "");
}
