import { normalizeName } from "../../desk/names.js";
import { parsePath } from "../../desk/paths.js";
import { expandStrips } from "../../desk/strips.js";
import type { DeskPath } from "../../desk/types.js";
import { DeskroundError } from "../../errors.js";

/**
 * The paths that `--only` names, in run-sheet order: strips (`7`, `3A`, `1-4`), paths (`7/mic`) and
 * inputs (`mic`), in any mixture.
 *
 * @throws DeskroundError `usage` for what the desk has not, or where nothing is named
 */
export function parseWantedPaths(
  named: readonly string[],
  paths: readonly DeskPath[],
): readonly DeskPath[] {
  if (named.length === 0) {
    throw new DeskroundError(
      "usage",
      "--only names nothing.",
      "Name strips or paths, as in --only 7,12/mic",
    );
  }
  const wanted = new Set(named.flatMap((text) => meantBy(text.trim(), paths)));
  return paths.filter((path) => wanted.has(path));
}

function meantBy(text: string, paths: readonly DeskPath[]): readonly DeskPath[] {
  if (text.includes("/")) return [pathOf(text, paths)];
  const strips = ofStrip(text, paths);
  if (strips.length > 0) return strips;
  const inputs = paths.filter(({ input }) => normalizeName(input) === normalizeName(text));
  if (inputs.length > 0) return inputs;
  const { names } = expandStrips([text]);
  const range = names.map((name) => ofStrip(name, paths));
  const unknown = names[range.findIndex((own) => own.length === 0)] ?? text;
  if (names.length > 1 && range.every((own) => own.length > 0)) return range.flat();
  const all = [...new Set(paths.map(({ strip }) => strip))];
  throw new DeskroundError(
    "usage",
    `--only: this desk has no strip and no input "${unknown}".`,
    `Its strips run from ${all[0]} to ${all.at(-1)}; paths are written as 7/mic.`,
  );
}

function ofStrip(text: string, paths: readonly DeskPath[]): readonly DeskPath[] {
  return paths.filter(({ strip }) => normalizeName(strip) === normalizeName(text));
}

function pathOf(text: string, paths: readonly DeskPath[]): DeskPath {
  try {
    return parsePath(text, paths);
  } catch (error) {
    if (!(error instanceof DeskroundError)) throw error;
    throw new DeskroundError(error.code, `--only: ${error.message}`, error.hint, error);
  }
}
