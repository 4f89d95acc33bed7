import type { MathNode } from "mathjs";
import { nearest } from "../../desk/paths.js";
import { DeskroundError } from "../../errors.js";
import type { LockedMath } from "./locked-math.js";
import type { Figure, Limit } from "./types.js";
import { commonUnits, isLevel, isWritable } from "./units.js";
import type { Vocabulary } from "./vocabulary.js";

/** What an expression is understood by. */
export interface Meaning {
  readonly math: LockedMath;
  readonly round: Vocabulary;
  /** For messages: "round 2031-03-14-01". */
  readonly roundName: string;
  /** Of the baseline round; absent when none was named. */
  readonly baseline?: Vocabulary;
}

/** An expression while it is being read. */
export interface Context {
  readonly limit: Limit;
  readonly meaning: Meaning;
  /** The figures named so far; the expression sees the n-th as a variable. */
  readonly figures: Figure[];
}

/** A part of an expression that was understood. */
export interface Term {
  readonly unit: string;
  readonly node: MathNode;
  /** The number or figure that it is, when it is nothing more. */
  readonly alone?: { readonly number: number } | { readonly figure: Figure };
}

export const figureFunctions = ["siblings", "baseline"] as const;
export const plainFunctions = ["abs", "min", "max"] as const;

export const example = "As in noiseA <= -82 dBu, or abs(gain - siblings(gain)) <= 1 dB.";

export function refuse(context: Context, message: string, hint?: string): never {
  throw new DeskroundError("limits-file", `${context.limit.where}: ${message}`, hint);
}

export function refuseUnits(context: Context, left: Term, right: Term): never {
  const [one, other] = [inWords(left), inWords(right)];
  if (isLevel(left.unit) && isLevel(right.unit)) {
    const { roundName } = context.meaning;
    refuse(
      context,
      `${one} and ${other} in ${roundName}: they cannot be compared, as nothing says how many dBu full scale is.`,
      "Write the limit in the unit that the round has; a calibrated round has dBu.",
    );
  }
  const bare = [left, right].find((term) => term.unit === "" && term.alone !== undefined);
  const unit = left === bare ? right.unit : left.unit;
  refuse(
    context,
    `${one}, ${other}: they cannot be compared.`,
    bare === undefined ? undefined : `Write the unit behind the number: ${unit}.`,
  );
}

export function inWords({ unit, alone }: Term): string {
  const text = unit === "" ? "without a unit" : `in ${unit}`;
  if (alone === undefined) return `one side is ${text}`;
  return "number" in alone
    ? `the value ${alone.number} is ${text}`
    : `${figureText(alone.figure)} is ${text}`;
}

/** Units that a number may have here. */
export function units(context: Context): readonly string[] {
  const own = [...context.meaning.round.readings.values()].filter(isWritable);
  return [...new Set([...commonUnits, ...own])];
}

/** The name that was probably meant, or all there are. */
export function namesHint(context: Context, meant = ""): string {
  const { readings, curves } = context.meaning.round;
  const names = [...readings.keys(), ...curves.keys(), ...figureFunctions, ...plainFunctions];
  const like = nearest(meant, names);
  if (like !== undefined) return `Did you mean ${like}?`;
  return `There are ${[...readings.keys(), ...curves.keys()].join(", ")}.`;
}

/** A figure as an expression writes it. */
export function figureText({ whose, id, at }: Figure): string {
  const own =
    at === undefined ? id : `${id}(${"hz" in at ? at.hz : `${at.fromHz}, ${at.toHz}`} Hz)`;
  return whose === "own" ? own : `${whose}(${own})`;
}
