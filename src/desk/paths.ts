import { distance } from "fastest-levenshtein";
import { DeskroundError } from "../errors.js";
import { capitalize } from "../text/capitalize.js";
import { normalizeName } from "./names.js";
import { type NamedPath, readPathWords, splitPathWords } from "./path-words.js";
import { findQuickestOrder, type OrderedInput } from "./quickest-order.js";
import type { Desk, DeskControl, DeskPath } from "./types.js";

export type { NamedPath } from "./path-words.js";

/** Everything that the order of the run sheet depends on. */
export interface PathPlan {
  readonly strips: readonly string[];
  /** Inputs, with the strips that have them; all strips when absent. */
  readonly inputs: readonly OrderedInput[];
  readonly order: Desk["order"];
  /** Families named in the desk file: name to strips. */
  readonly groups: ReadonlyMap<string, readonly string[]>;
  /** For `fewest`: the controls of a strip. */
  readonly controls?: readonly DeskControl[];
}

/**
 * All paths of a desk in run-sheet order. `by-input` patches one input of all strips, then the
 * next, so that the interface is set up once for each input; `by-strip` finishes strip by strip;
 * `fewest` saves patching and settings, see `findQuickestOrder`.
 */
export function listDeskPaths(plan: PathPlan): readonly DeskPath[] {
  const { strips, inputs } = plan;
  const groupOf = new Map<string, string>();
  for (const [group, members] of plan.groups) {
    for (const strip of members) groupOf.set(strip, group);
  }
  const pathsOf = (strip: string, input: PathPlan["inputs"][number]): DeskPath[] => {
    if (input.strips !== undefined && !input.strips.includes(strip)) return [];
    const group = groupOf.get(strip);
    const family = group === undefined ? input.name : `${input.name} (${group})`;
    return [{ path: `${strip}/${input.name}`, strip, input: input.name, family }];
  };
  if (plan.order === "fewest") {
    return findQuickestOrder(strips, inputs, plan.controls ?? []).flatMap(([strip, input]) =>
      pathsOf(strip, inputs[input]),
    );
  }
  return plan.order === "by-strip"
    ? strips.flatMap((strip) => inputs.flatMap((input) => pathsOf(strip, input)))
    : inputs.flatMap((input) => strips.flatMap((strip) => pathsOf(strip, input)));
}

/**
 * Finds the path that a text names, such as `7/mic`, `7mic` or `mic 7`; see `readPathWords`. A
 * strip alone names its path if it has only one.
 *
 * @param text as written by the user
 *
 * @param paths existing paths
 *
 * @param where whose paths they are, for the message: "this desk", "round 2030-01-31-01"
 * @throws DeskroundError `usage`, naming the part that is unknown and the nearest known path
 */
export function parsePath<P extends NamedPath>(
  text: string,
  paths: readonly P[],
  where = "this desk",
): P {
  const words = readPathWords(text, paths);
  if (words?.kind === "path") return words.path;
  if (words?.kind === "strip") {
    const own = paths.filter(({ strip }) => strip === words.strip);
    if (own.length === 1) return own[0];
    const choice = formatChoice(own.map(({ path }) => path));
    throw new DeskroundError("usage", `${words.strip} is a strip: which of its inputs?`, choice);
  }
  if (words?.kind === "input") {
    const example = paths.find(({ input }) => input === words.input)?.path;
    throw new DeskroundError(
      "usage",
      `${words.input} is an input: of which strip?`,
      `For example ${example}.`,
    );
  }
  throw createUnknownPathError(text, paths, where);
}

/**
 * Error for a text that names no existing path or strip: the unknown part, and similar names. One
 * number is not a typing error for another, so strips are suggested only by their letters.
 */
export function createUnknownPathError(
  text: string,
  paths: readonly NamedPath[],
  where = "this desk",
): DeskroundError {
  const written = text.trim();
  const { strip, input } = splitPathWords(written);
  const name = strip !== undefined && input !== undefined ? `${strip}/${input}` : written;
  const strips = [...new Set(paths.map((one) => one.strip))];
  const inputs = [...new Set(paths.map((one) => one.input))];
  const range = `Strips run from ${strips[0]} to ${strips.at(-1)}; inputs: ${inputs.join(", ")}.`;
  const about = (message: string, hint: string) => new DeskroundError("usage", message, hint);
  if (strip === undefined && input === undefined) {
    return about(
      `"${written}" is not a path: paths are written strip/input, e.g. ${paths[0]?.path}.`,
      range,
    );
  }
  const known = strip === undefined ? undefined : readPathWords(strip, paths);
  if (strip !== undefined && known?.kind !== "strip") {
    const like = findClosestStrip(strip, strips);
    const path = paths.find((one) => one.strip === like && isSameInput(one, input))?.path;
    return about(
      input === undefined
        ? `${capitalize(where)} has no strip "${strip}".`
        : `Path ${name}: ${where} has no strip "${strip}".`,
      like === undefined ? range : `Did you mean ${path ?? like}?`,
    );
  }
  const own = paths.filter((one) => known?.kind !== "strip" || one.strip === known.strip);
  const like = findClosestWord(input ?? "", [...new Set(own.map((one) => one.input))]);
  const meant = own.find((one) => one.input === like)?.path;
  const isElsewhere = inputs.some((one) => normalizeName(one) === normalizeName(input ?? ""));
  return about(
    isElsewhere
      ? `Path ${name}: strip ${strip} has no input "${input}".`
      : `Path ${name}: ${where} has no input "${input}".`,
    meant === undefined || isElsewhere
      ? `${strip === undefined ? "Inputs" : `Strip ${strip} has the inputs`}: ${[...new Set(own.map((one) => one.input))].join(", ")}.`
      : `Did you mean ${meant}?`,
  );
}

function isSameInput(path: NamedPath, input: string | undefined): boolean {
  return input !== undefined && normalizeName(path.input) === normalizeName(input);
}

function formatChoice(paths: readonly string[]): string {
  const [last, ...rest] = [...paths].reverse();
  return `Write ${rest.reverse().join(", ")} or ${last}.`;
}

/** Several paths separated by commas, e.g. `1/mic,2/mic`. */
export function parsePaths<P extends NamedPath>(
  text: string,
  paths: readonly P[],
  where?: string,
): readonly P[] {
  return text
    .split(",")
    .filter((part) => part.trim() !== "")
    .map((part) => parsePath(part, paths, where));
}

/**
 * The choice most similar to a mistyped word, if any: up to a third of its letters may be wrong,
 * but not all.
 */
export function findClosestWord(word: string, choices: readonly string[]): string | undefined {
  const allowed = Math.min(word.length - 1, Math.ceil(word.length / 3));
  let best: string | undefined;
  let least = allowed + 1;
  for (const choice of choices) {
    const steps = distance(normalizeName(word), normalizeName(choice));
    if (steps < least) [best, least] = [choice, steps];
  }
  return best;
}

/** The strip most similar to a mistyped one; never one with another number. */
export function findClosestStrip(word: string, strips: readonly string[]): string | undefined {
  const numbers = (text: string) => (text.match(/\d+/g) ?? []).map(Number).join(" ");
  const alike = strips.filter((strip) => numbers(strip) === numbers(word));
  return /\p{L}/u.test(word) ? findClosestWord(word, alike) : undefined;
}
