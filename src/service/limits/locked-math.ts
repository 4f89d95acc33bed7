import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import type { MathNode } from "mathjs";

/** A parser of expressions, and nothing else of mathjs than what they may use. */
export interface LockedMath {
  readonly parse: (text: string) => MathNode;
  readonly constant: (value: number) => MathNode;
  readonly symbol: (name: string) => MathNode;
}

let loaded: Promise<LockedMath> | undefined;

/**
 * The part of mathjs that limits need: numbers only, the four operations, `abs`, `min`, `max`.
 * Units, matrices, random numbers, `import` and all else are never created, so that no expression
 * can reach them; what the parser still understands of them is refused before anything is
 * evaluated (see compile.ts).
 */
export function loadLockedMath(): Promise<LockedMath> {
  loaded ??= load();
  return loaded;
}

async function load(): Promise<LockedMath> {
  try {
    return loadFewParts();
  } catch {
    // Another release may have its files elsewhere: its public door is slower, and always there.
    return loadNumberMath();
  }
}

/** The same through the public entry, which reads every function there is. */
export async function loadNumberMath(): Promise<LockedMath> {
  const part = await import("mathjs/number");
  const math = part.create(
    {
      ...part.parseDependencies,
      ...part.ConstantNodeDependencies,
      ...part.SymbolNodeDependencies,
      ...part.addDependencies,
      ...part.subtractDependencies,
      ...part.multiplyDependencies,
      ...part.divideDependencies,
      ...part.unaryMinusDependencies,
      ...part.unaryPlusDependencies,
      ...part.absDependencies,
      ...part.minDependencies,
      ...part.maxDependencies,
    },
    configuration,
  );
  const { parse, ConstantNode, SymbolNode } = math;
  if (!parse || !ConstantNode || !SymbolNode) throw new Error("mathjs came without its parser");
  return {
    parse: (text) => parse(text),
    constant: (value) => new ConstantNode(value),
    symbol: (name) => new SymbolNode(name),
  };
}

const configuration = { number: "number", matrix: "Array", predictable: true } as const;

/** What the parser can build; most of it only to be refused by name. */
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

/** What refused nodes would call; no limit gets so far. */
const closed = [
  "subset",
  "matrix",
  "size",
  "index",
  "ResultSet",
  "equal",
  "unequal",
  "smaller",
  "smallerEq",
  "larger",
  "largerEq",
] as const;

interface Made {
  readonly import: (functions: Readonly<Record<string, unknown>>) => void;
  readonly parse: (text: string) => MathNode;
  readonly ConstantNode: new (value: number) => MathNode;
  readonly SymbolNode: new (name: string) => MathNode;
}

type Part = Readonly<Record<string, (...given: never[]) => unknown>>;

/**
 * Parser, nodes and arithmetic by their files, which takes a tenth of the time that all functions
 * take.
 *
 * @throws Error where a release of mathjs has them elsewhere
 */
export function loadFewParts(): LockedMath {
  const require = createRequire(import.meta.url);
  const folder = dirname(require.resolve("mathjs/number"));
  const from = (file: string) => require(join(folder, file)) as Part;
  const names = [
    ...nodes.map((node) => [`expression/node/${node}.js`, `create${node}`] as const),
    ["expression/parse.js", "createParse"] as const,
    ["core/function/typed.js", "createTyped"] as const,
  ];
  const factories = Object.fromEntries(names.map(([file, name]) => [name, from(file)[name]]));
  const create = from("core/create.js").create as (...given: unknown[]) => unknown;
  const math = create(factories, configuration) as Made;
  const arithmetic = from("plain/number/arithmetic.js");
  const refuse = () => {
    throw new Error("a function that limits do not have");
  };
  math.import({
    ...Object.fromEntries(closed.map((name) => [name, refuse])),
    numeric: Number,
    isBounded: Number.isFinite,
    add: arithmetic.addNumber,
    subtract: arithmetic.subtractNumber,
    multiply: arithmetic.multiplyNumber,
    divide: arithmetic.divideNumber,
    unaryMinus: arithmetic.unaryMinusNumber,
    unaryPlus: arithmetic.unaryPlusNumber,
    abs: arithmetic.absNumber,
    min: Math.min,
    max: Math.max,
  });
  const { parse, ConstantNode, SymbolNode } = math;
  return {
    parse: (text) => parse(text),
    constant: (value) => new ConstantNode(value),
    symbol: (name) => new SymbolNode(name),
  };
}
