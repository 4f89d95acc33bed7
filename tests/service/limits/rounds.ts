import type { Round, RoundPath } from "../../../src/history/types.js";
import type { Curve, Reading } from "../../../src/measure/types.js";
import { compileLimit } from "../../../src/service/limits/compile.js";
import type { ExpressionScope } from "../../../src/service/limits/expression.js";
import { loadLockedMath } from "../../../src/service/limits/locked-math.js";
import { parseLimits } from "../../../src/service/limits/parse-limits.js";
import type { CompiledLimit, Limit } from "../../../src/service/limits/types.js";
import { listVocabulary } from "../../../src/service/limits/vocabulary.js";
import { aRound } from "../../history/a-round.js";

export function reading(value: number, unit = "dB", uncertainty = 0.1): Reading {
  return { value, unit, uncertainty };
}

export type PathParts = Partial<RoundPath> & { readonly path: string };

/** A path of a round; measured, of the family of its input, unless said otherwise. */
export function path(parts: PathParts): RoundPath {
  const [strip, input] = parts.path.split("/") as [string, string];
  return {
    strip,
    input,
    family: input,
    status: "measured",
    readings: {},
    absent: {},
    curves: {},
    oddness: 0,
    findings: [],
    causes: [],
    ...parts,
  };
}

export function round(paths: readonly RoundPath[], id = "2031-03-14-01"): Round {
  return { ...aRound("2031-03-14", []), id, paths };
}

/** A response at the given decibels, at 20 Hz, 100 Hz, 1 kHz, 10 kHz and 20 kHz. */
export function response(y: readonly number[], uncertainty = 0.01): Curve {
  const x = [20, 100, 1000, 10_000, 20_000];
  return { x, y, uncertainty: x.map(() => uncertainty), xUnit: "Hz", yUnit: "dB" };
}

export function limit(text: string, parts: Partial<Limit> = {}): Limit {
  return { name: "it", text, from: "file", where: "limits.yaml line 3", ...parts };
}

/** Limits of a file with the given lines, without the built-in ones. */
export function limits(lines: string, baseline: "named" | "none" = "none"): readonly Limit[] {
  return parseLimits(`built-in: none\nlimits:\n${lines}`, "limits.yaml", baseline);
}

export async function meaning(of: Round, baseline?: Round): Promise<ExpressionScope> {
  return {
    math: await loadLockedMath(),
    round: listVocabulary(of),
    roundName: `round ${of.id}`,
    ...(baseline === undefined ? {} : { baseline: listVocabulary(baseline) }),
  };
}

export async function compiled(
  text: string,
  of: Round = round([]),
  baseline?: Round,
): Promise<CompiledLimit> {
  return compileLimit(limit(text), await meaning(of, baseline));
}
