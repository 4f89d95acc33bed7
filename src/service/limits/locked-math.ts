import type { MathNode } from "mathjs";
import { mathFactories, requireMathFile } from "./math-files.js";

/** A parser of expressions with only those parts of mathjs that limits may use. */
export interface LockedMath {
  readonly parse: (text: string) => MathNode;
  readonly constant: (value: number) => MathNode;
  readonly symbol: (name: string) => MathNode;
}

let loaded: Promise<LockedMath> | undefined;

/**
 * The part of mathjs that limits need: numbers only, the four operations, `abs`, `min`, `max`.
 * Units, matrices, random numbers, `import` and everything else are never created, so that no
 * expression can reach them; syntax that the parser still accepts is rejected before evaluation
 * (see compile.ts).
 */
export function loadLockedMath(): Promise<LockedMath> {
  loaded ??= load();
  return loaded;
}

async function load(): Promise<LockedMath> {
  try {
    return loadFewParts();
  } catch {
    // Another release may have its files elsewhere; the public entry point is slower, but always
    // exists.
    return loadNumberMath();
  }
}

/** The same through the public entry point, which loads all functions. */
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

/** Functions that rejected nodes would call; limits never reach them. */
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

/**
 * Loads parser, nodes and arithmetic from their files, which takes a tenth of the time of loading
 * all functions.
 *
 * @throws Error if a release of mathjs has them elsewhere
 */
export function loadFewParts(): LockedMath {
  const factories = Object.fromEntries(
    mathFactories.map(([file, name]) => [name, requireMathFile(file)[name]]),
  );
  const create = requireMathFile("core/create.js").create as (...given: unknown[]) => unknown;
  const math = create(factories, configuration) as Made;
  const arithmetic = requireMathFile("plain/number/arithmetic.js");
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
