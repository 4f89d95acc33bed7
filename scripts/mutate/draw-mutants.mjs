import { readFileSync } from "node:fs";
import { createInstrumenter } from "@stryker-mutator/instrumenter";
import { randomOf } from "../fuzz/random.mjs";

/**
 * Kinds of change that are left out: those that replace a text, a list, an object or a whole block.
 * They are many and coarse; what remains changes one operator, one condition or one method.
 */
export const leftOut = [
  "ArrayDeclaration",
  "ArrowFunction",
  "BlockStatement",
  "ObjectLiteral",
  "Regex",
  "StringLiteral",
];

/**
 * Lists every change that the mutation tester can make to some files.
 *
 * @param {readonly string[]} files paths from the current folder
 * @returns {Promise<{ file: string, start: { line: number, column: number }, end: { line: number,
 *   column: number }, kind: string, original: string, replacement: string, text: string }[]>} in the
 *   order of the files; lines and columns from 0; `text`: its whole line
 */
export async function listMutants(files) {
  const contents = files.map((name) => ({
    name,
    content: readFileSync(name, "utf8"),
    mutate: true,
  }));
  const found = await newInstrumenter().instrument(contents, {
    plugins: null,
    excludedMutations: leftOut,
    ignorers: [],
  });
  const lines = new Map(contents.map(({ name, content }) => [name, content.split("\n")]));
  const wanted = found.mutants.filter(({ mutatorName }) => !leftOut.includes(mutatorName));
  return wanted.map(({ fileName, location, mutatorName, replacement }) => {
    const { start, end } = location;
    const own = lines.get(fileName);
    return {
      file: fileName,
      start,
      end,
      kind: mutatorName,
      original: between(own, start, end),
      replacement,
      text: own[start.line].trim(),
    };
  });
}

/** Whether two entries of such lists are the same change of the same place. */
export function isSameMutant(a, b) {
  return keyOf(a) === keyOf(b);
}

const keyOf = ({ file, start, end, kind, replacement }) =>
  [file, start.line, start.column, end.line, end.column, kind, replacement].join("\0");

/**
 * Draws some entries of a list, each as likely as any other.
 *
 * @param {readonly T[]} list
 * @param {number} count how many; all of them where the list has no more
 * @param {number} seed the same seed draws the same entries of the same list
 * @returns {T[]} in the order of the list
 * @template T
 */
export function drawSome(list, count, seed) {
  const random = randomOf(seed);
  const order = list.map((_, i) => i);
  const drawn = Math.min(count, list.length);
  for (let i = 0; i < drawn; i++) {
    const other = i + random.below(order.length - i);
    [order[i], order[other]] = [order[other], order[i]];
  }
  return order
    .slice(0, drawn)
    .sort((a, b) => a - b)
    .map((i) => list[i]);
}

function between(lines, start, end) {
  if (start.line === end.line) return lines[start.line].slice(start.column, end.column);
  return [
    lines[start.line].slice(start.column),
    ...lines.slice(start.line + 1, end.line),
    lines[end.line].slice(0, end.column),
  ].join("\n");
}

/** The instrumenter as the mutation tester makes it, with nothing to log. */
function newInstrumenter() {
  const quiet = { info() {}, debug() {}, isDebugEnabled: () => false };
  const values = { logger: quiet };
  const injector = {
    provideValue(name, value) {
      values[name] = value;
      return injector;
    },
    injectClass: (Class) => new Class(...Class.inject.map((name) => values[name])),
  };
  return createInstrumenter(injector);
}
