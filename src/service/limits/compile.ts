import type { MathNode, OperatorNode } from "mathjs";
import { compileNode } from "./compile-node.js";
import {
  type CompiledTerm,
  type ExpressionContext,
  type ExpressionScope,
  formatNamesHint,
  limitExample,
  throwLimitError,
  throwUnitError,
} from "./expression.js";
import { findRates } from "./find-rates.js";
import { findJudged } from "./judged.js";
import { isOperator, isRelational, isSymbol } from "./nodes.js";
import { replaceDecimalCommas, replaceReadingWords } from "./reading-words.js";
import { relations, turned } from "./relations.js";
import { compileTerm, nameFigure, variable } from "./term.js";
import type { Comparison, CompiledLimit, FrequencyBand, Limit } from "./types.js";
import { isWritable } from "./units.js";

/** Far more than limits written by hand; bounds the work that a file can cause. */
const longestText = 300;
const mostNodes = 80;

/**
 * Compiles a limit's expression: two sides and a comparison between them, or a value between two
 * bounds. Sides are numbers with units, readings (`noiseA`), points or bands of a curve
 * (`response(20 Hz, 20 kHz)`), `siblings(…)` and `baseline(…)` of either, joined by + − * / and
 * brackets, `abs`, `min` and `max`. Nothing else that the parser knows is allowed: no assignment,
 * text, list, property or other function.
 *
 * @throws DeskroundError `limits-file`, naming the limit's place and what was probably meant
 */
export function compileLimit(limit: Limit, meaning: ExpressionScope): CompiledLimit {
  const context: ExpressionContext = { limit, meaning, figures: [] };
  const sides = comparisons(context, parsed(context));
  const { figures } = context;
  if (!figures.some(({ whose }) => whose === "own")) {
    throwLimitError(
      context,
      `"${limit.text}" names no reading of the path.`,
      formatNamesHint(context),
    );
  }
  const band = oneBand(context);
  return { limit, figures, comparisons: sides, ...(band === undefined ? {} : { band }) };
}

function parsed(context: ExpressionContext): MathNode {
  const { text } = context.limit;
  if (text.trim() === "") throwLimitError(context, "the limit is empty.", limitExample);
  if (text.length > longestText) {
    throwLimitError(
      context,
      `the limit is longer than ${longestText} characters.`,
      "Split it into two limits.",
    );
  }
  let node: MathNode;
  try {
    node = context.meaning.math.parse(asTyped(text));
  } catch (error) {
    const { char } = error as { readonly char?: number };
    throwLimitError(context, `"${text}" cannot be understood${nearBy(text, char)}.`, limitExample);
  }
  let count = 0;
  node.traverse(() => {
    count++;
  });
  if (count > mostNodes)
    throwLimitError(context, `"${text}" is too long.`, "Split it into two limits.");
  return node;
}

function comparisons(context: ExpressionContext, node: MathNode): readonly Comparison[] {
  if (isRelational(node)) {
    if (node.conditionals.length !== 2) {
      throwLimitError(
        context,
        `"${context.limit.text}" has more than two comparisons.`,
        "Split it into two limits.",
      );
    }
    return node.conditionals.map((fn, i) =>
      comparison(context, fn, node.params[i], node.params[i + 1]),
    );
  }
  if (isOperator(node) && node.args.length === 2 && Object.hasOwn(relations, node.fn)) {
    const [left, right] = node.args;
    return [comparison(context, node.fn, left, right)];
  }
  if (node.type === "AssignmentNode" || node.type === "FunctionAssignmentNode") {
    throwLimitError(
      context,
      `"${context.limit.text}": a single = is not a comparison.`,
      "Write <=, >=, < or >; or == for two values that are plain, such as polarity.",
    );
  }
  // Reports errors inside first: a mistyped name matters more.
  compileTerm(context, node);
  return throwLimitError(
    context,
    `"${context.limit.text}" compares with nothing.`,
    `Write what is allowed after it: ${context.limit.text} <= …`,
  );
}

function comparison(
  context: ExpressionContext,
  fn: string,
  leftNode: MathNode,
  rightNode: MathNode,
): Comparison {
  const written = relations[fn];
  if (written === undefined) {
    throwLimitError(
      context,
      `"${context.limit.text}": unknown comparison.`,
      "Write <=, >=, < or >.",
    );
  }
  const [own, other] = [compileTerm(context, leftNode), compileTerm(context, rightNode)];
  const [left, right] = [inUnitOf(context, own, other), inUnitOf(context, other, own)];
  if (left.unit !== right.unit) throwUnitError(context, left, right);
  if (written === "==" && left.unit !== "") {
    throwLimitError(
      context,
      `"${context.limit.text}": measured values are never exactly equal.`,
      "Say how far apart they may be: abs(a - b) <= 1 dB.",
    );
  }
  // The judged side comes first, also if written the other way round: -82 dBu >= noiseA.
  const backward = !isOwn(context, left) && isOwn(context, right);
  const [value, bound] = backward ? [right, left] : [left, right];
  const rates = ratesOf(context, value.node, bound.node);
  const judged = backward ? rightNode : leftNode;
  return {
    relation: backward ? turned[written] : written,
    unit: value.unit,
    quantity: judged.toString(),
    judged: findJudged(judged),
    value: evaluator(context, value.node),
    bound: evaluator(context, bound.node),
    ...(rates === undefined ? {} : { rates }),
  };
}

/** Largest change of the difference of two sides per change of each figure. */
function ratesOf(
  { figures }: ExpressionContext,
  value: MathNode,
  bound: MathNode,
): readonly number[] | undefined {
  const names = figures.map((_, index) => variable(index));
  const [own, other] = [findRates(value, names), findRates(bound, names)];
  return other === undefined ? undefined : own?.map((rate, k) => rate + other[k]);
}

/**
 * Converts a number to the unit of the other side if that unit cannot be written, or if the number
 * is a percentage and the other side a single ratio: 0.1 % of distortion is −60 dB (IEC 60268-3).
 */
function inUnitOf(
  context: ExpressionContext,
  term: CompiledTerm,
  other: CompiledTerm,
): CompiledTerm {
  if (term.unit === "dBFS" && other.unit === "dBu" && context.meaning.round.isCalibrated) {
    return toDbu(context, term);
  }
  const bare = term.unit === "" && term.alone !== undefined && "number" in term.alone;
  if (bare && other.unit !== "" && !isWritable(other.unit)) return { ...term, unit: other.unit };
  if (term.unit !== "%") return term;
  const number = term.alone && "number" in term.alone ? term.alone.number : undefined;
  const ratio = other.unit === "dB" && other.alone !== undefined;
  if (number === undefined || !ratio) {
    throwLimitError(
      context,
      `"${context.limit.text}": % can only be compared with one reading that is a ratio, such as thd.`,
      "Write the limit in the reading's unit.",
    );
  }
  if (number <= 0) {
    throwLimitError(
      context,
      `"${context.limit.text}": ${number} % is not a distortion that can be measured.`,
    );
  }
  const decibels = 20 * Math.log10(number / 100);
  return { unit: "dB", node: context.meaning.math.constant(decibels), alone: { number: decibels } };
}

/** Converts a level relative to full scale to dBu, by the round's calibration. */
function toDbu(context: ExpressionContext, { node }: CompiledTerm): CompiledTerm {
  const { math } = context.meaning;
  const fullScale = nameFigure(context, { whose: "scale", id: "full scale" });
  const sum = math.parse("a + b") as OperatorNode;
  sum.args = [node, fullScale] as typeof sum.args;
  return { unit: "dBu", node: sum };
}

function oneBand(context: ExpressionContext): FrequencyBand | undefined {
  const bands = context.figures.flatMap(({ at }) => (at && "fromHz" in at ? [at] : []));
  const [band] = bands;
  if (band === undefined) return undefined;
  if (bands.some(({ fromHz, toHz }) => fromHz !== band.fromHz || toHz !== band.toHz)) {
    throwLimitError(
      context,
      `"${context.limit.text}" uses two different bands.`,
      "Write the same two frequencies everywhere, or split it into two limits.",
    );
  }
  return band;
}

/** Whether a side names a figure of the path itself. */
function isOwn({ figures }: ExpressionContext, { node }: CompiledTerm): boolean {
  const own = new Set(
    figures.flatMap(({ whose }, index) => (whose === "own" ? [variable(index)] : [])),
  );
  return namesAny(node, own);
}

function namesAny(node: MathNode, variables: ReadonlySet<string>): boolean {
  return node.filter((part) => isSymbol(part) && variables.has(part.name)).length > 0;
}

/** A side without figures is evaluated once. */
function evaluator(
  { figures }: ExpressionContext,
  node: MathNode,
): (figures: readonly number[]) => number {
  const names = figures.map((_, index) => variable(index));
  const evaluate = compileNode(node, names);
  if (namesAny(node, new Set(names))) return evaluate;
  const constant = evaluate([]);
  return () => constant;
}

/**
 * Normalises typographic minus signs and comparisons, names of readings to ids, and decimal commas
 * to points.
 */
function asTyped(text: string): string {
  const plain = text.replaceAll("−", "-").replaceAll("≤", "<=").replaceAll("≥", ">=");
  return replaceReadingWords(replaceDecimalCommas(plain));
}

/** Text near the position where the parser stopped, counted from 1. */
function nearBy(text: string, char: number | undefined): string {
  const rest =
    char === undefined
      ? ""
      : asTyped(text)
          .slice(char - 1)
          .trim();
  return rest === "" ? ": it ends too early" : ` from "${rest}" on`;
}
