import type { FunctionNode, MathNode, OperatorNode } from "mathjs";
import { findClosestWord } from "../../desk/paths.js";
import { findReadingKind } from "../../measure/reading-kinds.js";
import { isLevelUnit } from "../../text/level-units.js";
import { formatCommand } from "../../text/program-name.js";
import {
  type CompiledTerm,
  type ExpressionContext,
  figureFunctions,
  findPhrase,
  formatNamesHint,
  formatOperand,
  formatUnit,
  limitExample,
  listUnits,
  plainFunctions,
  throwLimitError,
  throwUnitError,
} from "./expression.js";
import { isFunction, isOperator, isPercentage, isSymbol, unwrapNode } from "./nodes.js";
import { relations } from "./relations.js";
import type { CurvePoint, Operand } from "./types.js";
import { getDifferenceUnit, getProductUnit, getQuotientUnit, getSumUnit } from "./units.js";

type OfOthers = (typeof figureFunctions)[number];

/**
 * Compiles one side of a comparison, or a part of one.
 *
 * @returns its unit, and a node with numbers and variables in place of quantities and figures
 * @throws DeskroundError `limits-file`
 */
export function compileTerm(context: ExpressionContext, node: MathNode): CompiledTerm {
  if (node.type === "ParenthesisNode") return compileTerm(context, unwrapNode(node));
  if (node.type === "ConstantNode") return number(context, node);
  if (isSymbol(node)) return name(context, node.name);
  if (isFunction(node)) return call(context, node);
  if (isOperator(node)) return operation(context, node);
  return throwLimitError(
    context,
    `"${node.toString()}" is not allowed in a limit.`,
    "Use numbers with units, readings, + - * / and brackets; abs, min, max, siblings, baseline.",
  );
}

function number(context: ExpressionContext, node: MathNode): CompiledTerm {
  const { value } = node as MathNode & { readonly value: unknown };
  if (typeof value !== "number" || !Number.isFinite(value)) {
    throwLimitError(context, `"${node.toString()}" is not a usable number.`, limitExample);
  }
  return { unit: "", node, alone: { number: value } };
}

function name(context: ExpressionContext, name: string): CompiledTerm {
  const { readings, curves } = context.meaning.round;
  const unit = readings.get(name);
  if (unit !== undefined) return figure(context, { whose: "own", id: name }, unit);
  if (curves.has(name)) {
    throwLimitError(
      context,
      `"${name}" is a curve: at which frequency?`,
      `Write ${name}(1 kHz), or ${name}(20 Hz, 20 kHz) for every point between.`,
    );
  }
  if (isOneOf(figureFunctions, name)) {
    throwLimitError(context, `"${name}" of what?`, `Name the reading in brackets: ${name}(noise).`);
  }
  if (isOneOf(plainFunctions, name)) {
    throwLimitError(context, `"${name}" of what?`, `For example ${name}(gain, thd).`);
  }
  if (listUnits(context).includes(name)) {
    throwLimitError(context, `the unit ${name} has no number.`, "For example -82 dBFS.");
  }
  return throwLimitError(context, `"${name}" is not a reading.`, formatNamesHint(context, name));
}

function figure(context: ExpressionContext, figure: Operand, unit: string): CompiledTerm {
  return { unit, node: nameFigure(context, figure), alone: { figure } };
}

/** The variable of a figure, which is looked up for each path. */
export function nameFigure({ figures, meaning }: ExpressionContext, figure: Operand): MathNode {
  const key = formatOperand(figure);
  let index = figures.findIndex((known) => formatOperand(known) === key);
  if (index < 0) index = figures.push(figure) - 1;
  return meaning.math.symbol(variable(index));
}

function call(context: ExpressionContext, node: FunctionNode): CompiledTerm {
  const callee: MathNode = node.fn;
  if (!isSymbol(callee)) {
    throwLimitError(context, `"${node.toString()}" is not allowed in a limit.`, limitExample);
  }
  const { name } = callee;
  if (isOneOf(figureFunctions, name)) return ofOthers(context, name, node.args);
  if (isOneOf(plainFunctions, name)) return plainCall(context, name, node);
  if (context.meaning.round.curves.has(name)) return curve(context, name, node.args);
  const { readings, curves } = context.meaning.round;
  if (readings.has(name)) {
    throwLimitError(
      context,
      `"${name}" is a reading and takes no brackets.`,
      `Write ${name} alone.`,
    );
  }
  const known = [...figureFunctions, ...plainFunctions, ...curves.keys()];
  const like = findClosestWord(name, known);
  const isFunctionMeant = like !== undefined && !curves.has(like);
  const phrase = isFunctionMeant ? undefined : phraseHint(context);
  return throwLimitError(
    context,
    `"${name}(…)" is unknown.`,
    like === undefined
      ? (phrase ?? `Known: ${known.join(", ")}.`)
      : (phrase ?? `Did you mean ${like}?`),
  );
}

function ofOthers(
  context: ExpressionContext,
  whose: OfOthers,
  args: readonly MathNode[],
): CompiledTerm {
  const [arg] = args;
  if (args.length !== 1) {
    throwLimitError(context, `"${whose}" takes one reading, e.g. ${whose}(noise).`);
  }
  const count = context.figures.length;
  const named = compileTerm(context, arg);
  const own = named.alone && "figure" in named.alone ? named.alone.figure : undefined;
  if (own === undefined || own.whose !== "own") {
    throwLimitError(
      context,
      `"${whose}(${arg.toString()})": only a reading or a curve can stand in these brackets.`,
      `For example ${whose}(noise) or ${whose}(response(20 Hz)).`,
    );
  }
  // The path's own figure was only mentioned, unless it is used elsewhere.
  context.figures.length = count;
  return figure(context, { ...own, whose }, unitOf(context, whose, own));
}

function unitOf(context: ExpressionContext, whose: OfOthers, { id, at }: Operand): string {
  const { round, baseline } = context.meaning;
  if (whose === "baseline" && baseline === undefined) {
    throwLimitError(
      context,
      `"${context.limit.text}" compares with a baseline round, but none was named.`,
      `Name one: --with 2030-01-31-01; \`${formatCommand("show --list")}\` lists the rounds.`,
    );
  }
  if (
    whose === "baseline" &&
    findReadingKind(id)?.relativeUntilCalibrated &&
    baseline?.gains !== round.gains
  ) {
    throwLimitError(
      context,
      `"${context.limit.text}": one of the rounds is calibrated and the other is not, so their gains cannot be compared.`,
      "Compare rounds that are both calibrated, or both not.",
    );
  }
  const of = (at === undefined ? "readings" : "curves") satisfies "readings" | "curves";
  const others = whose === "baseline" ? baseline : round;
  // Readings missing in the other round are handled when figures are looked up.
  return others?.[of].get(id) ?? round[of].get(id) ?? "";
}

function plainCall(
  context: ExpressionContext,
  name: (typeof plainFunctions)[number],
  node: FunctionNode,
): CompiledTerm {
  const terms = node.args.map((arg) => compileTerm(context, arg));
  const [first] = terms;
  if (first === undefined || (name === "abs" ? terms.length !== 1 : terms.length < 2)) {
    throwLimitError(
      context,
      `"${node.toString()}": ${name} takes ${name === "abs" ? "one value" : "several values"}.`,
    );
  }
  if (name === "abs" && isLevelUnit(first.unit)) {
    throwLimitError(
      context,
      `"${node.toString()}": a level in ${first.unit} is not a difference, so it has no absolute value.`,
      "Use abs for differences: abs(gain - siblings(gain)).",
    );
  }
  const odd = terms.find(({ unit }) => unit !== first.unit);
  if (odd !== undefined) throwUnitError(context, first, odd);
  const copy = node.clone() as FunctionNode;
  copy.args = terms.map((term) => term.node);
  return { unit: first.unit, node: copy };
}

function curve(context: ExpressionContext, id: string, args: readonly MathNode[]): CompiledTerm {
  const hertz = args.map((arg) => {
    const { unit, alone } = compileTerm(context, arg);
    const number = alone && "number" in alone ? alone.number : undefined;
    if (unit !== "Hz" || number === undefined || number <= 0) {
      throwLimitError(
        context,
        `"${id}(${args.join(", ")})": ${arg.toString()} is not a frequency.`,
        `For example ${id}(1 kHz) or ${id}(20 Hz, 20 kHz).`,
      );
    }
    return number;
  });
  const [fromHz, toHz, more] = hertz;
  if (fromHz === undefined || more !== undefined) {
    throwLimitError(context, `"${id}" takes one frequency, or two for every point between.`);
  }
  if (toHz !== undefined && toHz <= fromHz) {
    throwLimitError(context, `"${id}(${args.join(", ")})": the lower frequency comes first.`);
  }
  const at: CurvePoint = toHz === undefined ? { hz: fromHz } : { fromHz, toHz };
  return figure(context, { whose: "own", id, at }, context.meaning.round.curves.get(id) ?? "");
}

function operation(context: ExpressionContext, node: OperatorNode): CompiledTerm {
  const [first, second] = node.args;
  if (Object.hasOwn(relations, node.fn)) {
    throwLimitError(
      context,
      `"${context.limit.text}" has a comparison inside a comparison.`,
      "Split it into two limits.",
    );
  }
  if (isPercentage(node)) return literal(context, first, "%");
  if (node.implicit) return quantity(context, first, second);
  if (second === undefined) return signed(context, node, first);
  const rule = operations[node.fn];
  if (rule === undefined) {
    throwLimitError(
      context,
      `"${node.op}" is not allowed in a limit.`,
      "Use + - * / and brackets.",
    );
  }
  const [a, b] = [compileTerm(context, first), compileTerm(context, second)];
  const unit = rule.unit(a.unit, b.unit);
  if (unit === undefined) {
    throwLimitError(
      context,
      `"${context.limit.text}": ${formatUnit(a)}, ${formatUnit(b)}: ${rule.words}.`,
      isLevelUnit(a.unit) && isLevelUnit(b.unit) && a.unit !== b.unit
        ? "It is not known how many dBu full scale is: use only one of the two units."
        : rule.hint,
    );
  }
  const copy = node.clone() as OperatorNode;
  copy.args = [a.node, b.node] as typeof copy.args;
  return { unit, node: copy };
}

const operations: Readonly<
  Record<
    string,
    {
      readonly unit: (a: string, b: string) => string | undefined;
      readonly words: string;
      readonly hint?: string;
    }
  >
> = {
  add: {
    unit: getSumUnit,
    words: "they cannot be added",
    hint: "To a level, only dB can be added.",
  },
  subtract: { unit: getDifferenceUnit, words: "they cannot be subtracted" },
  multiply: { unit: getProductUnit, words: "they cannot be multiplied" },
  divide: { unit: getQuotientUnit, words: "they cannot be divided" },
};

function signed(context: ExpressionContext, node: OperatorNode, arg: MathNode): CompiledTerm {
  if (node.fn !== "unaryMinus" && node.fn !== "unaryPlus") {
    throwLimitError(
      context,
      `"${node.op}" is not allowed in a limit.`,
      "Use + - * / and brackets.",
    );
  }
  const signless = compileTerm(context, arg);
  if (signless.alone && "number" in signless.alone && signless.unit === "") {
    const number = node.fn === "unaryMinus" ? -signless.alone.number : signless.alone.number;
    return { unit: "", node: context.meaning.math.constant(number), alone: { number } };
  }
  if (isLevelUnit(signless.unit)) {
    throwLimitError(
      context,
      `"${node.toString()}": a level in ${signless.unit} cannot change its sign.`,
    );
  }
  const copy = node.clone() as OperatorNode;
  copy.args = [signless.node] as typeof copy.args;
  return { unit: signless.unit, node: copy };
}

function phraseHint(context: ExpressionContext): string | undefined {
  const phrase = findPhrase(context);
  return phrase === undefined ? undefined : `Did you mean ${phrase}?`;
}

/** A number followed by a unit. */
function quantity(context: ExpressionContext, number: MathNode, unit: MathNode): CompiledTerm {
  if (!isSymbol(unit)) {
    throwLimitError(
      context,
      `"${context.limit.text}": an operator is missing before ${unit.toString()}.`,
      phraseHint(context),
    );
  }
  if (listUnits(context).includes(unit.name)) return literal(context, number, unit.name);
  const left = compileTerm(context, number);
  if (left.alone === undefined || !("number" in left.alone) || left.unit !== "") {
    throwLimitError(
      context,
      `"${context.limit.text}": an operator is missing before ${unit.name}.`,
      phraseHint(context),
    );
  }
  const like = findClosestWord(unit.name, listUnits(context));
  return throwLimitError(
    context,
    `"${unit.name}" is not a unit.`,
    like === undefined ? `Known: ${listUnits(context).join(", ")}.` : `Did you mean ${like}?`,
  );
}

function literal(context: ExpressionContext, node: MathNode, unit: string): CompiledTerm {
  const { alone, unit: inner } = compileTerm(context, node);
  if (alone === undefined || !("number" in alone) || inner !== "") {
    throwLimitError(
      context,
      `"${context.limit.text}": one number is expected before ${unit}.`,
      "For example 0.1 % or -82 dBFS.",
    );
  }
  const number = unit === "kHz" ? 1000 * alone.number : alone.number;
  const kept = unit === "kHz" ? "Hz" : unit;
  return { unit: kept, node: context.meaning.math.constant(number), alone: { number } };
}

/** The variable of the n-th figure. */
export const variable = (index: number) => `f${index}`;

function isOneOf<T extends string>(list: readonly T[], name: string): name is T {
  return (list as readonly string[]).includes(name);
}
