import type { FunctionNode, MathNode, OperatorNode, RelationalNode, SymbolNode } from "mathjs";

/** Guards for the parts of a parsed expression. */

/** Whether a node is a name. */
export function isSymbol(node: MathNode): node is SymbolNode {
  return node.type === "SymbolNode";
}

/** Whether a node is a function with its arguments. */
export function isFunction(node: MathNode): node is FunctionNode {
  return node.type === "FunctionNode";
}

/** Whether a node is an operator, such as a sum. */
export function isOperator(node: MathNode): node is OperatorNode {
  return node.type === "OperatorNode";
}

/** Whether a node is a chain of comparisons, `a < b < c`. */
export function isRelational(node: MathNode): node is RelationalNode {
  return node.type === "RelationalNode";
}

/** Whether an operator is a percent sign, not a remainder. */
export function isPercentage(node: OperatorNode): boolean {
  return (node as OperatorNode & { readonly isPercentage?: boolean }).isPercentage === true;
}

/** The contents of brackets. */
export function unwrapNode(node: MathNode): MathNode {
  return (node as MathNode & { readonly content: MathNode }).content;
}
