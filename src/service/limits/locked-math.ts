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
 * evaluated (see compile.ts). Loading takes some tenths of a second, so only a check does it.
 */
export function lockedMath(): Promise<LockedMath> {
  loaded ??= load();
  return loaded;
}

async function load(): Promise<LockedMath> {
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
    { number: "number", matrix: "Array", predictable: true },
  );
  const { parse, ConstantNode, SymbolNode } = math;
  if (!parse || !ConstantNode || !SymbolNode) throw new Error("mathjs came without its parser");
  return {
    parse: (text) => parse(text),
    constant: (value) => new ConstantNode(value),
    symbol: (name) => new SymbolNode(name),
  };
}
