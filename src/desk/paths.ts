import { distance } from "fastest-levenshtein";
import { DeskroundError } from "../errors.js";
import { normalizeName } from "./names.js";
import { findQuickestOrder, type OrderedInput } from "./quickest-order.js";
import type { Desk, DeskControl, DeskPath } from "./types.js";

/** What the order of the run sheet depends on. */
export interface PathPlan {
  readonly strips: readonly string[];
  /** Inputs, with the strips that have them; all strips when absent. */
  readonly inputs: readonly OrderedInput[];
  readonly order: Desk["order"];
  /** Groups of strips that are siblings of their own: name to strips. */
  readonly groups: ReadonlyMap<string, readonly string[]>;
  /** For `fewest`: what a strip has to set. */
  readonly controls?: readonly DeskControl[];
}

/**
 * All paths of a desk in run-sheet order. `by-input` patches one input of all strips, then the
 * next, so that the interface is set up once for each input; `by-strip` finishes strip by strip;
 * `fewest` spares plugs and controls, see `findQuickestOrder`.
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

/** The parts of a path that looking one up needs; paths of a desk and of a round have them. */
export interface NamedPath {
  readonly path: string;
  readonly strip: string;
  readonly input: string;
}

/**
 * Finds the path that a text such as `7/mic` names; capitals do not matter.
 *
 * @param text what the user wrote
 * @param paths the paths there are
 * @param where whose paths they are, for the message: "this desk", "round 2030-01-31-01"
 * @throws DeskroundError `usage`, naming the part that is unknown and the nearest known path
 */
export function parsePath<P extends NamedPath>(
  text: string,
  paths: readonly P[],
  where = "this desk",
): P {
  const wanted = normalizeName(text.trim());
  const found = paths.find(({ path }) => normalizeName(path) === wanted);
  if (found !== undefined) return found;
  throw new DeskroundError(
    "usage",
    unknownPath(text.trim(), paths, where),
    pathHint(text.trim(), paths),
  );
}

/** Several paths separated by commas, as in `1/mic,2/mic`. */
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
 * The choice most like a mistyped word, when one is like it at all: up to a third of its letters
 * may be wrong, but never all of them.
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

function unknownPath(text: string, paths: readonly NamedPath[], where: string): string {
  const slash = text.lastIndexOf("/");
  if (slash < 0) return `"${text}" is not a path: paths are written strip/input, as in 7/mic.`;
  const [strip, input] = [text.slice(0, slash), text.slice(slash + 1)];
  if (!paths.some((p) => normalizeName(p.strip) === normalizeName(strip))) {
    return `Path ${text}: ${where} has no strip "${strip}".`;
  }
  if (!paths.some((p) => normalizeName(p.input) === normalizeName(input))) {
    return `Path ${text}: ${where} has no input "${input}".`;
  }
  return `Path ${text}: strip ${strip} has no input "${input}".`;
}

function pathHint(text: string, paths: readonly NamedPath[]): string {
  const strips = [...new Set(paths.map(({ strip }) => strip))];
  const inputs = [...new Set(paths.map(({ input }) => input))];
  const slash = text.lastIndexOf("/");
  const strip = findClosestWord(text.slice(0, slash), strips);
  const input = findClosestWord(text.slice(slash + 1), inputs);
  const like = paths.find((p) => p.strip === strip && p.input === input);
  if (slash >= 0 && like !== undefined) return `Did you mean ${like.path}?`;
  return `Paths run from ${paths[0]?.path} to ${paths.at(-1)?.path}; inputs: ${inputs.join(", ")}.`;
}
