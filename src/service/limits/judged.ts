import type { MathNode } from "mathjs";
import { isFunction, isOperator, isSymbol } from "./nodes.js";

/** What a comparison judges, for the usual forms. */
export type Judged =
  /** A reading, or a curve at some of its points. */
  | { readonly code: "figure"; readonly name: string }
  /** Distance of a figure from that of siblings or baseline, in either direction. */
  | {
      readonly code: "distance";
      readonly name: string;
      readonly from: "siblings" | "baseline";
    }
  /** One reading minus another. */
  | { readonly code: "difference"; readonly name: string; readonly less: string }
  | { readonly code: "other" };

/** Recognises the judged side of a comparison. */
export function findJudged(node: MathNode): Judged {
  const name = findFigure(node);
  if (name !== undefined) return { code: "figure", name };
  if (isOperator(node) && node.fn === "subtract") {
    const [own, less] = node.args;
    if (isSymbol(own) && isSymbol(less)) {
      return { code: "difference", name: own.name, less: less.name };
    }
  }
  return findDistance(node) ?? { code: "other" };
}

/** `abs(gain - siblings(gain))`. */
function findDistance(node: MathNode): Judged | undefined {
  if (!isFunction(node) || node.fn.name !== "abs") return undefined;
  const [difference] = node.args;
  if (difference === undefined || !isOperator(difference) || difference.fn !== "subtract") {
    return undefined;
  }
  const [own, usual] = difference.args;
  const name = own === undefined ? undefined : findFigure(own);
  if (name === undefined || usual === undefined || !isFunction(usual)) return undefined;
  const from = usual.fn.name;
  const isSame = usual.args.length === 1 && own?.equals(usual.args[0]);
  if ((from !== "siblings" && from !== "baseline") || !isSame) return undefined;
  return { code: "distance", name, from };
}

const functions: readonly string[] = ["abs", "siblings", "baseline"];

/** The reading or curve that a node names, at any points. */
function findFigure(node: MathNode): string | undefined {
  if (isSymbol(node)) return node.name;
  if (!isFunction(node) || functions.includes(node.fn.name)) return undefined;
  return node.fn.name;
}
