import type { MathNode } from "mathjs";
import { findClosestWord } from "../../desk/paths.js";
import { DeskroundError } from "../../errors.js";
import { readingKinds } from "../../measure/reading-kinds.js";
import { isLevelUnit } from "../../text/level-units.js";
import { formatCommand } from "../../text/program-name.js";
import type { LockedMath } from "./locked-math.js";
import type { Limit, Operand } from "./types.js";
import { commonUnits, isWritable } from "./units.js";
import type { Vocabulary } from "./vocabulary.js";

/** Names and units that an expression can use. */
export interface ExpressionScope {
  readonly math: LockedMath;
  readonly round: Vocabulary;
  /** For messages: "round 2031-03-14-01". */
  readonly roundName: string;
  /** Of the baseline round; absent when none was named. */
  readonly baseline?: Vocabulary;
}

/** State while an expression is compiled. */
export interface ExpressionContext {
  readonly limit: Limit;
  readonly meaning: ExpressionScope;
  /** The figures named so far; the n-th is a variable of the expression. */
  readonly figures: Operand[];
}

/** A compiled part of an expression. */
export interface CompiledTerm {
  readonly unit: string;
  readonly node: MathNode;
  /** Set if it is only a number or figure. */
  readonly alone?: { readonly number: number } | { readonly figure: Operand };
}

export const figureFunctions = ["siblings", "baseline"] as const;
export const plainFunctions = ["abs", "min", "max"] as const;

export const limitExample = "For example noiseA <= -82 dBu, or abs(gain - siblings(gain)) <= 1 dB.";

/** Rejects a limit, with its position in the file. @throws DeskroundError `limits-file` */
export function throwLimitError(context: ExpressionContext, message: string, hint?: string): never {
  throw new DeskroundError("limits-file", `${context.limit.where}: ${message}`, hint);
}

/**
 * Rejects a limit whose two sides have units that cannot be compared. @throws as {@link
 * throwLimitError}
 */
export function throwUnitError(
  context: ExpressionContext,
  left: CompiledTerm,
  right: CompiledTerm,
): never {
  const [one, other] = [formatUnit(left), formatUnit(right)];
  if (isLevelUnit(left.unit) && isLevelUnit(right.unit)) {
    const { roundName } = context.meaning;
    throwLimitError(
      context,
      `${one} and ${other} in ${roundName}: they cannot be compared, because it is not known how many dBu full scale is.`,
      "Write the limit in the unit that the round has; a calibrated round has dBu.",
    );
  }
  const bare = [left, right].find((term) => term.unit === "" && term.alone !== undefined);
  const unit = left === bare ? right.unit : left.unit;
  throwLimitError(
    context,
    `${one}, ${other}: they cannot be compared.`,
    bare === undefined ? undefined : `Write the unit after the number: ${unit}.`,
  );
}

/** The unit of one side of a limit, for a message. */
export function formatUnit({ unit, alone }: CompiledTerm): string {
  const text = unit === "" ? "without a unit" : `in ${unit}`;
  if (alone === undefined) return `one side is ${text}`;
  return "number" in alone
    ? `the value ${alone.number} is ${text}`
    : `${formatOperand(alone.figure)} is ${text}`;
}

/** Units that a number may have here. */
export function listUnits(context: ExpressionContext): readonly string[] {
  const own = [...context.meaning.round.readings.values()].filter(isWritable);
  return [...new Set([...commonUnits, ...own])];
}

/** Fewer letters than this match too many names. */
const fewestLetters = 4;

/**
 * The reading that a side of the comparison probably means, by its displayed name: the text is
 * similar to it, part of it, or contains it.
 */
export function findPhrase({ limit }: ExpressionContext): string | undefined {
  const names = readingKinds.map(({ name }) => name).sort((a, b) => b.length - a.length);
  for (const side of limit.text.split(/[<>=]+/)) {
    const phrase = side.trim().toLowerCase();
    if (phrase.length < fewestLetters || !/^\p{L}[^*/]*$/u.test(phrase)) continue;
    if (names.some((name) => name.toLowerCase() === phrase)) continue;
    const near =
      findClosestWord(phrase, names) ??
      names.find((name) => phrase.includes(name.toLowerCase()) && name.length >= fewestLetters) ??
      names.findLast((name) => name.toLowerCase().includes(phrase));
    if (near !== undefined) return near;
  }
  return undefined;
}

/** Hint with the name probably meant, or where names are listed. */
export function formatNamesHint(context: ExpressionContext, meant = ""): string {
  const { readings, curves } = context.meaning.round;
  const names = [...readings.keys(), ...curves.keys(), ...figureFunctions, ...plainFunctions];
  const like = findPhrase(context) ?? findClosestWord(meant, names);
  if (like !== undefined) return `Did you mean ${like}?`;
  return `Use the names that \`${formatCommand("show 7/mic")}\` shows (noise, hum, distortion at 100 Hz), or the ids in docs/readings.md (thd100).`;
}

/** A figure in the syntax of expressions. */
export function formatOperand({ whose, id, at }: Operand): string {
  const own =
    at === undefined ? id : `${id}(${"hz" in at ? at.hz : `${at.fromHz}, ${at.toHz}`} Hz)`;
  return whose === "own" ? own : `${whose}(${own})`;
}
