import { normalizeName } from "../../desk/names.js";
import { readPathWords } from "../../desk/path-words.js";
import { findClosestWord } from "../../desk/paths.js";
import { expandStrips } from "../../desk/strips.js";
import { DeskroundError } from "../../errors.js";
import type { Limit } from "./types.js";

/** The parts of a path that a scope can name. */
export interface ScopedPath {
  readonly path: string;
  readonly strip: string;
  readonly input: string;
  readonly family: string;
}

/**
 * The paths that a limit is for.
 *
 * @throws DeskroundError `limits-file` for a name that no path of the round has
 */
export function listLimitPaths<P extends ScopedPath>(
  limit: Limit,
  paths: readonly P[],
): readonly P[] {
  const only = limit.only?.map((text) => matcher(limit, text, paths));
  const except = limit.except?.map((text) => matcher(limit, text, paths)) ?? [];
  return paths.filter(
    (path) =>
      (only === undefined || only.some((matches) => matches(path))) &&
      !except.some((matches) => matches(path)),
  );
}

type Matcher = (path: ScopedPath) => boolean;

/**
 * Creates a matcher for a text: a path (7/mic), an input or family (mic), a strip or a range
 * (1-12).
 */
function matcher(limit: Limit, text: string, paths: readonly ScopedPath[]): Matcher {
  const refuse = (message: string, hint?: string): never => {
    throw new DeskroundError("limits-file", `${limit.where}: ${message}`, hint);
  };
  const wanted = normalizeName(text);
  const byName: Matcher = (path) =>
    [path.path, path.input, path.family].some((name) => normalizeName(name) === wanted);
  const { names, faults } = expandStrips([text]);
  const strips = new Set(faults.length === 0 ? names.map(normalizeName) : []);
  const byStrip: Matcher = ({ strip }) => strips.has(normalizeName(strip));

  const named = paths.some(byName);
  const known = new Set(paths.map(({ strip }) => normalizeName(strip)));
  const unknown = names.filter((name) => !known.has(normalizeName(name)));
  const numbered = strips.size > 0 && unknown.length === 0;
  if (named && numbered) {
    return refuse(`"${text}" is both a strip and an input here.`, "List the paths instead.");
  }
  if (named) return byName;
  const words = readPathWords(text, paths);
  if (words?.kind === "path") return ({ path }) => path === words.path.path;
  if (numbered) return byStrip;
  if (strips.size > 1) return refuse(`"${text}": the round has no strip "${unknown[0]}".`);
  const choices = paths.flatMap(({ path, input, family, strip }) => [input, family, strip, path]);
  // One number is not a typing error for another.
  const like = /^\d+$/.test(text) ? undefined : findClosestWord(text, [...new Set(choices)]);
  const inputs = [...new Set(paths.map(({ input }) => input))].join(", ");
  return refuse(
    `"${text}" is not a strip, an input, a family or a path of the round.`,
    like === undefined
      ? `Inputs: ${inputs}; paths such as ${paths[0]?.path}.`
      : `Did you mean ${like}?`,
  );
}
