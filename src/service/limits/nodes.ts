import type { FunctionNode, MathNode, OperatorNode, RelationalNode, SymbolNode } from "mathjs";

/** Guards for the parts of a parsed expression. */

export function isSymbol(node: MathNode): node is SymbolNode {
  return node.type === "SymbolNode";
}

export function isFunction(node: MathNode): node is FunctionNode {
  return node.type === "FunctionNode";
}

export function isOperator(node: MathNode): node is OperatorNode {
  return node.type === "OperatorNode";
}

export function isRelational(node: MathNode): node is RelationalNode {
  return node.type === "RelationalNode";
}

export function isPercentage(node: OperatorNode): boolean {
  return (node as OperatorNode & { readonly isPercentage?: boolean }).isPercentage === true;
}

export function unwrapNode(node: MathNode): MathNode {
  return (node as MathNode & { readonly content: MathNode }).content;
}
