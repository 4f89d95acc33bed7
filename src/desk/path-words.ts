import { collapseSpace } from "../text/collapse-space.js";
import { normalizeName } from "./names.js";
import { removeLeadingZeros } from "./strips.js";

/** The parts of a path needed for look-up; paths of desks and rounds have them. */
export interface NamedPath {
  readonly path: string;
  readonly strip: string;
  readonly input: string;
}

/** What a text names: a path, a strip, or an input of any strip. */
export type PathWords<P> =
  | { readonly kind: "path"; readonly path: P }
  | { readonly kind: "strip"; readonly strip: string }
  | { readonly kind: "input"; readonly input: string };

/** Words before a strip's name. */
export const stripWords =
  "strips?|channels?|chann?|chnl?|ch|modules?|mod|number|num|no|nr|input|track|trk|chan";

const beforeStrip = new RegExp(`^(?:the )?(?:(?:${stripWords})(?!\\p{L})[ .#:-]*|# ?)`, "u");
/** Separators between strip and input, or left over at an end. */
const separators = "[ /\\\\.,:;_-]";
const atStart = new RegExp(`^${separators}+`);
const atEnd = new RegExp(`${separators}+$`);

/**
 * Reads a path or strip as people write it: `7/mic`, `7mic`, `7-mic`, `07/mic`, `7 mic`, `mic 7`,
 * `strip 7`, `ch 7 mic`, `7`, `mic`. Case does not matter. An exact name of the desk always means
 * itself.
 *
 * @param text as written
 *
 * @param paths existing paths
 *
 * @returns undefined if it names nothing existing, or is ambiguous
 * @example
 * const paths = [{ path: "7/mic", strip: "7", input: "mic" }];
 * readPathWords("mic 07", paths); // { kind: "path", path: paths[0] }
 */
export function readPathWords<P extends NamedPath>(
  text: string,
  paths: readonly P[],
): PathWords<P> | undefined {
  const written = normalizeName(collapseSpace(text));
  const exact = paths.find(({ path }) => normalizeName(path) === written);
  if (exact !== undefined) return { kind: "path", path: exact };
  const stripByWord = new Map(
    paths.map(({ strip }) => [removeLeadingZeros(strip), strip] as const),
  );
  const inputs = [...new Set(paths.map(({ input }) => input))];
  const asStrip = findStrip(written, stripByWord);
  if (asStrip !== undefined) return { kind: "strip", strip: asStrip };
  const bare = written.replace(atStart, "").replace(atEnd, "");
  const asInput = inputs.find((input) => normalizeName(input) === bare);
  if (asInput !== undefined) return { kind: "input", input: asInput };

  const named = new Set<P>();
  for (const input of inputs) {
    for (const strip of listStripTexts(bare, normalizeName(input))) {
      const name = findStrip(strip, stripByWord);
      const path = paths.find((one) => one.strip === name && one.input === input);
      if (path !== undefined) named.add(path);
    }
  }
  if (named.size > 0) {
    const [path] = named;
    return named.size === 1 ? { kind: "path", path } : undefined;
  }
  const strip = findStrip(bare, stripByWord);
  return strip === undefined ? undefined : { kind: "strip", strip };
}

/** Possible texts for the strip if a text ends or begins with an input. */
function listStripTexts(text: string, input: string): readonly string[] {
  const left: string[] = [];
  if (text.endsWith(input)) left.push(text.slice(0, -input.length).replace(atEnd, ""));
  if (text.startsWith(input)) {
    const rest = text.slice(input.length);
    // The digits of "line12" are one number, not "line1" and 2.
    if (!(/\d$/.test(input) && /^\d/.test(rest))) left.push(rest.replace(atStart, ""));
  }
  return left;
}

function findStrip(text: string, stripByWord: ReadonlyMap<string, string>): string | undefined {
  return (
    stripByWord.get(removeLeadingZeros(text)) ??
    stripByWord.get(removeLeadingZeros(text.replace(beforeStrip, "")))
  );
}

/** A text split into the parts of a path, whether or not the path exists. */
export interface SplitWords {
  readonly strip?: string;
  readonly input?: string;
}

/**
 * Which part of a text is meant as strip and which as input, for messages about unknown paths:
 * `25mic`, `mic 25`, `7/mik`, `strip 25`.
 */
export function splitPathWords(text: string): SplitWords {
  const written = collapseSpace(text);
  const slash = written.lastIndexOf("/");
  if (slash >= 0) return nonEmpty(written.slice(0, slash), written.slice(slash + 1));
  const plain = written.replace(new RegExp(beforeStrip, "iu"), "");
  if (/^\p{L}{0,3}\d+(?:\.\d+)?\p{L}?$/u.test(plain)) return { strip: plain };
  const forward = /^(\d+(?:\.\d+)?)[ .:_\\-]*(\p{L}[^ ]*)$/u.exec(plain);
  if (forward !== null) return nonEmpty(forward[1], forward[2]);
  const reverse = /^(\p{L}+)[ .:_\\-]*(\d+)$/u.exec(plain);
  return reverse === null ? {} : nonEmpty(reverse[2], reverse[1]);
}

function nonEmpty(strip: string, input: string): SplitWords {
  return { ...(strip === "" ? {} : { strip }), ...(input === "" ? {} : { input }) };
}
