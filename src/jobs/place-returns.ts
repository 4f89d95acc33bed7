import { existsSync, readFileSync, statSync } from "node:fs";
import { type Assigned, assignReturns, parseMap } from "../capture/assign.js";
import { readFileName } from "../capture/file-names.js";
import { shownName } from "../capture/open.js";
import type { Return } from "../capture/types.js";
import type { Desk } from "../desk/types.js";
import type { ReadCapture } from "./read-captures.js";

/** Which return counts for each path, and which paths were patched and gave none. */
export interface Placed {
  readonly byPath: ReadonlyMap<string, Return>;
  /** Path to what was heard instead of a return. */
  readonly unheard: ReadonlyMap<string, string>;
  readonly warnings: readonly string[];
}

/**
 * Decides which path each return belongs to and collects every doubt about it.
 *
 * @param map as given: a file's name, or the map itself
 * @param silent paths that the user says gave nothing back
 * @throws DeskroundError `usage`
 */
export function placeReturns(
  captures: readonly ReadCapture[],
  desk: Desk,
  map: string | undefined,
  silent: readonly string[],
): Placed {
  const returns = captures.flatMap(({ found }) => found.returns);
  const entries = map === undefined ? undefined : readMap(map, desk);
  const assigned = assignReturns(returns, desk.paths, { map: entries, skipped: silent });
  const byPath = new Map<string, Return>();
  for (const { path, return: one } of assigned.assignments) byPath.set(path, one);

  const unheard = new Map<string, string>(silent.map((path) => [path, "named silent"]));
  const warnings = [
    ...captures.flatMap(({ found, info }) => [...info.warnings, ...found.warnings]),
  ];
  for (const { info, instead } of captures) {
    if (instead === undefined) continue;
    const name = readFileName(info.file, desk.paths);
    const only = name.says === "paths" && name.paths.length === 1 ? name.paths[0].path : undefined;
    if (only !== undefined && !byPath.has(only)) unheard.set(only, instead);
    else
      warnings.push(`${shownName(info.file)}: no return was found; what was heard is ${instead}.`);
  }
  warnings.push(...cutWarnings(captures), ...assigned.warnings, ...unassignedWarnings(assigned));
  return { byPath, unheard, warnings };
}

function readMap(map: string, desk: Desk) {
  const isFile = existsSync(map) && statSync(map).isFile();
  return parseMap(isFile ? readFileSync(map, "utf8") : map, isFile ? map : "--map", desk.paths);
}

function cutWarnings(captures: readonly ReadCapture[]): readonly string[] {
  return captures
    .filter(({ instead }) => instead === undefined)
    .flatMap(({ found, info }) =>
      found.cuts.map(({ atSample, missing }) => {
        const at = `${(atSample / info.sampleRate).toFixed(1)} s`;
        const what =
          missing === "end"
            ? `a return that starts at ${at} has no end and was left out`
            : `the return that ends at ${at} has no start and was left out`;
        return `${shownName(info.file)}: ${what}.`;
      }),
    );
}

/** Assignment warns about the surplus of a list; this is for what it leaves without a word. */
function unassignedWarnings({ unassigned, warnings }: Assigned): readonly string[] {
  if (unassigned.length === 0 || warnings.some((w) => w.includes("left out"))) return [];
  const count = unassigned.length;
  return [
    `${count} ${count === 1 ? "return belongs" : "returns belong"} to no path and ${count === 1 ? "was" : "were"} left out.`,
  ];
}
