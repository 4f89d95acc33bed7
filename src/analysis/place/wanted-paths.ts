import { expandPaths } from "../../desk/outputs.js";
import { readPathWords } from "../../desk/path-words.js";
import { createUnknownPathError } from "../../desk/paths.js";
import { expandStrips, isRange } from "../../desk/strips.js";
import type { DeskPath } from "../../desk/types.js";
import { DeskroundError } from "../../errors.js";

/**
 * The paths that `--only` names, in run-sheet order: strips (`7`, `3A`, `1-4`), paths (`7/mic`,
 * `1-4/mic`) and inputs (`mic`), in any combination.
 *
 * @throws DeskroundError `usage` for names that the desk does not have, or no name at all
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
  const words = readPathWords(text, paths);
  if (words?.kind === "path") return [words.path];
  if (words?.kind === "strip") return paths.filter(({ strip }) => strip === words.strip);
  if (words?.kind === "input") return paths.filter(({ input }) => input === words.input);
  const ofInput = text.includes("/") ? expandPaths(text, paths) : "no input";
  if (typeof ofInput !== "string") return paths.filter(({ path }) => ofInput.includes(path));
  const { names, faults } = expandStrips([text]);
  const range = names.length < 2 ? [] : names.map((name) => ofStrip(name, paths));
  const unknown = names[range.findIndex((own) => own.length === 0)] ?? text;
  if (range.length > 0 && range.every((own) => own.length > 0)) return range.flat();
  const [faulty] = isRange(text) ? faults : [];
  if (faulty !== undefined) throw new DeskroundError("usage", `--only: ${faulty.fault}.`);
  const { message, hint, code } = createUnknownPathError(unknown, paths);
  throw new DeskroundError(code, `--only: ${message}`, hint);
}

function ofStrip(text: string, paths: readonly DeskPath[]): readonly DeskPath[] {
  const words = readPathWords(text, paths);
  return words?.kind === "strip" ? paths.filter(({ strip }) => strip === words.strip) : [];
}
