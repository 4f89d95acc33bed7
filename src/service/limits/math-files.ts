import { createRequire } from "node:module";
import { dirname, join } from "node:path";

/** Nodes that the parser can build; most of them only to be rejected by name. */
const nodes = [
  "Node",
  "ConstantNode",
  "SymbolNode",
  "OperatorNode",
  "ParenthesisNode",
  "FunctionNode",
  "RelationalNode",
  "AccessorNode",
  "ArrayNode",
  "AssignmentNode",
  "BlockNode",
  "ConditionalNode",
  "FunctionAssignmentNode",
  "IndexNode",
  "ObjectNode",
  "RangeNode",
] as const;

/** Files of mathjs that make a part, with the part's name in them. */
export const mathFactories: readonly (readonly [file: string, name: string])[] = [
  ...nodes.map((node) => [`expression/node/${node}.js`, `create${node}`] as const),
  ["expression/parse.js", "createParse"],
  ["core/function/typed.js", "createTyped"],
];

/** All files of mathjs that are used. */
export const mathFiles: readonly string[] = [
  ...mathFactories.map(([file]) => file),
  "core/create.js",
  "plain/number/arithmetic.js",
];

type Part = Readonly<Record<string, (...given: never[]) => unknown>>;

/**
 * What one of {@link mathFiles} exports. In the bundled program this module is replaced by one with
 * those files (`scripts/bundle.mjs`).
 *
 * @throws Error if a release of mathjs has them elsewhere
 */
export function requireMathFile(file: string): Part {
  const require = createRequire(import.meta.url);
  return require(join(dirname(require.resolve("mathjs/number")), file)) as Part;
}
