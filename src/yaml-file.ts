import { type Document, isScalar, LineCounter, parseDocument, visit } from "yaml";
import { DeskroundError, type ErrorCode } from "./errors.js";

/** A YAML document, and the line of each place in its text. */
export interface ParsedYaml {
  readonly doc: Document.Parsed;
  /** Line, from 1, of an offset in characters. */
  readonly lineAt: (offset: number) => number;
}

/**
 * Parses YAML.
 *
 * @param file for messages
 * @throws DeskroundError with the given code, naming file and line
 */
export function parseYaml(text: string, file: string, code: ErrorCode): ParsedYaml {
  const lines = new LineCounter();
  const doc = parseDocument(text, {
    lineCounter: lines,
    prettyErrors: false,
    logLevel: "error",
    // The check compares every key with every other one, which takes minutes on a large file.
    uniqueKeys: false,
  });
  const lineAt = (offset: number) => lines.linePos(offset).line;
  const twice = doc.errors.length === 0 ? findRepeatedKey(doc) : undefined;
  if (twice !== undefined) {
    const [first, second] = twice.at.map(lineAt);
    throw new DeskroundError(
      code,
      `${file} line ${second}: "${twice.key}" is there twice, the first time in line ${first}.`,
      "Put everything under one of them, and remove the other.",
    );
  }
  const [broken] = [...doc.errors, ...doc.warnings, ...findUnusableKeys(doc)];
  if (broken === undefined) return { doc, lineAt };
  throw new DeskroundError(
    code,
    `${file} line ${lineAt(broken.pos[0])}: not readable as YAML: ${broken.message}.`,
    findUnquotedColon(text, broken.pos[0]) ??
      "Compare the line with its neighbours: the indent, the colon and the space after it, quotes.",
  );
}

/** What to do about a value with a colon in it, which YAML reads as another key. */
function findUnquotedColon(text: string, offset: number): string | undefined {
  const start = text.lastIndexOf("\n", offset - 1) + 1;
  const [line] = text.slice(start).split(/\r?\n/, 1);
  const found = /^\s*(?:- )?([^:#"']+): +([^"'\s[{|>&*].*?: .*?)\s*$/.exec(line);
  if (found === null) return undefined;
  const [, key, value] = found;
  return `Put the value in quotes, as it has a colon in it: ${key}: "${value.replaceAll('"', "'")}"`;
}

/**
 * The first key that a block has twice, which YAML does not allow (YAML 1.2.2, 3.2.1.3), and where.
 */
function findRepeatedKey(
  doc: Document.Parsed,
): { readonly key: string; readonly at: readonly [number, number] } | undefined {
  let found: { readonly key: string; readonly at: readonly [number, number] } | undefined;
  visit(doc, {
    Map(_, map) {
      const seen = new Map<unknown, number>();
      for (const { key } of map.items) {
        if (!isScalar(key)) continue;
        const from = key.range?.[0] ?? 0;
        const first = seen.get(key.value);
        if (first !== undefined) found ??= { key: String(key.value), at: [first, from] };
        seen.set(key.value, from);
      }
    },
  });
  return found;
}

/** Finds the key that JavaScript objects cannot hold as an ordinary name. */
function findUnusableKeys(
  doc: Document.Parsed,
): readonly { readonly pos: readonly [number, number]; readonly message: string }[] {
  const found: { pos: readonly [number, number]; message: string }[] = [];
  visit(doc, {
    Map(_, map) {
      for (const { key } of map.items) {
        if (!isScalar(key)) continue;
        const [from, to] = key.range ?? [0, 0];
        if (key.value === "__proto__")
          found.push({ pos: [from, to], message: "`__proto__` cannot be a name here" });
      }
    },
  });
  return found;
}
