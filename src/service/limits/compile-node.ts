import type { ConstantNode, MathNode } from "mathjs";
import { isFunction, isOperator, isSymbol, unwrapNode } from "./nodes.js";

/** Evaluates a side of a limit from its figures. */
type Evaluate = (figures: readonly number[]) => number;

const unary: Readonly<Record<string, (a: Evaluate) => Evaluate>> = {
  unaryMinus: (a) => (figures) => -a(figures),
  unaryPlus: (a) => a,
  abs: (a) => (figures) => Math.abs(a(figures)),
};

const binary: Readonly<Record<string, (a: Evaluate, b: Evaluate) => Evaluate>> = {
  add: (a, b) => (figures) => a(figures) + b(figures),
  subtract: (a, b) => (figures) => a(figures) - b(figures),
  multiply: (a, b) => (figures) => a(figures) * b(figures),
  divide: (a, b) => (figures) => a(figures) / b(figures),
};

const ofAny: Readonly<Record<string, (...values: number[]) => number>> = {
  min: Math.min,
  max: Math.max,
};

/**
 * Compiles an expression into plain functions: curves are judged at hundreds of points on every
 * path, each with varied figures, and the parser's own evaluation takes twenty times as long.
 *
 * @param variables names of the figures, in order
 *
 * @throws Error for a node that limits cannot have, which is a bug
 */
export function compileNode(node: MathNode, variables: readonly string[]): Evaluate {
  if (node.type === "ParenthesisNode") return compileNode(unwrapNode(node), variables);
  if (node.type === "ConstantNode") {
    const value = Number((node as ConstantNode).value);
    return () => value;
  }
  if (isSymbol(node)) {
    const index = variables.indexOf(node.name);
    if (index >= 0) return (figures) => figures[index];
  }
  if (isOperator(node) || isFunction(node)) {
    const name = isOperator(node) ? node.fn : node.fn.name;
    const args = node.args.map((arg) => compileNode(arg, variables));
    if (args.length === 1 && Object.hasOwn(unary, name)) return unary[name](args[0]);
    if (args.length === 2 && Object.hasOwn(binary, name)) return binary[name](args[0], args[1]);
    if (Object.hasOwn(ofAny, name)) {
      const pick = ofAny[name];
      return (figures) => pick(...args.map((arg) => arg(figures)));
    }
  }
  throw new Error(`this is not allowed in a limit: ${node.toString()}`);
}
