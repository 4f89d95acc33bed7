import type { ConstantNode, MathNode } from "mathjs";
import { isFunction, isOperator, isSymbol, unwrapNode } from "./nodes.js";

/**
 * Largest change of a side of a limit per change of each of its figures (Lipschitz factors): sums
 * and differences add the factors of their parts, a constant multiplies them, and `abs`, `min` and
 * `max` do not increase them.
 *
 * @param variables names of the figures, in order
 *
 * @returns undefined if it depends on the figures themselves, as in a product of two
 */
export function findRates(
  node: MathNode,
  variables: readonly string[],
): readonly number[] | undefined {
  if (node.type === "ParenthesisNode") return findRates(unwrapNode(node), variables);
  if (node.type === "ConstantNode") return variables.map(() => 0);
  if (isSymbol(node)) {
    const index = variables.indexOf(node.name);
    return index < 0 ? undefined : variables.map((_, k) => (k === index ? 1 : 0));
  }
  if (!isOperator(node) && !isFunction(node)) return undefined;
  const rates = node.args.map((arg) => findRates(arg, variables));
  if (!rates.every((one) => one !== undefined)) return undefined;
  const name = isOperator(node) ? node.fn : node.fn.name;
  switch (name) {
    case "unaryMinus":
    case "unaryPlus":
    case "abs":
    case "add":
    case "subtract":
      return combine(rates, (a, b) => a + b);
    case "min":
    case "max":
      return combine(rates, Math.max);
    case "multiply":
    case "divide": {
      const [one, other] = node.args.map(findMagnitude);
      if (other !== undefined) {
        const factor = name === "divide" ? 1 / other : other;
        return rates[0].map((rate) => rate * factor);
      }
      if (name === "divide" || one === undefined) return undefined;
      return rates[1].map((rate) => rate * one);
    }
    default:
      return undefined;
  }
}

function combine(
  rates: readonly (readonly number[])[],
  join: (a: number, b: number) => number,
): readonly number[] {
  return rates.reduce((sum, own) => sum.map((rate, k) => join(rate, own[k])));
}

/** The magnitude of a number with any signs before it; undefined for all else. */
function findMagnitude(node: MathNode): number | undefined {
  if (node.type === "ParenthesisNode") return findMagnitude(unwrapNode(node));
  if (isOperator(node) && node.fn === "unaryMinus") return findMagnitude(node.args[0]);
  return node.type === "ConstantNode" ? Number((node as ConstantNode).value) : undefined;
}
