import { normalizeName } from "../../desk/names.js";
import { findClosestWord } from "../../desk/paths.js";
import type { Doubt } from "../../doubt.js";
import { DeskroundError } from "../../errors.js";
import { formatCount } from "../../text/format-count.js";
import { formatList } from "../../text/format-list.js";
import { groupBy } from "../../text/group-by.js";
import { toDisplayName } from "../containers/open-file.js";
import type { Assignment, SignalSpan } from "../types.js";
import type { PathMapEntry } from "./path-map.js";

export interface MappedReturns<R extends SignalSpan> {
  readonly assignments: readonly Assignment<R>[];
  readonly unassigned: readonly R[];
  /** Returns that the map does not mention. */
  readonly rest: readonly R[];
}

/**
 * Gives returns the paths that a map names.
 *
 * @param returns in order of assignment
 * @param doubts receives doubts found
 * @throws DeskroundError `usage` when the map names a return that does not exist
 * @example
 * const one = { file: "a.wav", channel: 0, startSample: 0, lengthSamples: 100 };
 * const { assignments } = applyMap([one], [{ path: "7/mic", where: "map.txt, line 1" }], []);
 * assignments[0].path; // "7/mic"
 * assignments[0].by; // "map"
 */
export function applyMap<R extends SignalSpan>(
  returns: readonly R[],
  map: readonly PathMapEntry[],
  doubts: Doubt[],
): MappedReturns<R> {
  if (map.length === 0) return { assignments: [], unassigned: [], rest: returns };
  const inFiles = map[0].file !== undefined;
  // A list of paths counts only returns that were found; an entry that names its file can also give
  // a path to a capture without one.
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
    const names = [...new Set(unassigned.map(({ file }) => file))];
    doubts.push({ code: "not-in-map", files: names, returns: unassigned.length });
  }
  return { assignments, unassigned, rest: returns.filter((one) => !decided(one)) };
}

/** Finds a map entry's return by its file, written with or without the folder. */
function returnsOfFiles<R extends SignalSpan>(returns: readonly R[]) {
  const files = groupBy(returns, ({ file }) => file);
  return (entry: PathMapEntry): R | undefined => {
    const wanted = entry.file ?? "";
    const exact = files.get(wanted);
    if (exact !== undefined) return nthOf(exact, entry);
    const alike = [...files.keys()].filter(
      (file) => normalizeName(baseName(file)) === normalizeName(wanted),
    );
    if (alike.length === 1) return nthOf(files.get(alike[0]) ?? [], entry);
    const name = toDisplayName(wanted);
    if (alike.length > 1) {
      const message = `${entry.where}: several recordings are called ${name}.`;
      throw new DeskroundError("usage", message, `Write the folder too, e.g. ${alike[0]}.`);
    }
    const known = [...files.keys()].map(baseName);
    const like = findClosestWord(wanted, known);
    const hint =
      like === undefined ? `Captures with returns: ${formatList(known)}.` : `Did you mean ${like}?`;
    const message = `${entry.where}: no return was found in ${name}, or it is not among the recordings.`;
    throw new DeskroundError("usage", message, hint);
  };
}

function nthOf<R extends SignalSpan>(
  own: readonly R[],
  { channel, nth = 1, atFrame }: PathMapEntry,
): R | undefined {
  const there = own.filter((one) => channel === undefined || one.channel === channel);
  if (atFrame === undefined) return there[nth - 1];
  const apart = ({ startSample }: R) => Math.abs(startSample - atFrame);
  const [nearest] = [...there].sort((a, b) => apart(a) - apart(b));
  return nearest && apart(nearest) < nearest.lengthSamples / 2 ? nearest : undefined;
}

function tooMany(
  { where, file, channel, nth, atFrame }: PathMapEntry,
  map: readonly PathMapEntry[],
  returns: readonly SignalSpan[],
): DeskroundError {
  const hint =
    "List only returns that were found; listen to the recording to hear which are missing.";
  const message =
    file === undefined
      ? `${where}: the map lists ${formatCount(map.length, "return")}, ${returns.length} were found.`
      : `${where}: ${toDisplayName(file)} has no return ${atFrame === undefined ? `#${nth}` : `at sample frame ${atFrame}`}${channel === undefined ? "" : ` on channel ${channel + 1}`}.`;
  return new DeskroundError("usage", message, hint);
}

function baseName(file: string): string {
  return file.replace(/^.*[/\\]/s, "");
}
