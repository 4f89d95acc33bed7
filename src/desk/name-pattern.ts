import { collapseSpace } from "../text/collapse-space.js";
import { normalizeName, validateLine } from "./names.js";
import { findClosestWord } from "./paths.js";
import { recordingExtension } from "./recording-kinds.js";
import type { NamePattern, PatternPart, Placeholder } from "./types.js";

const placeholders: readonly Placeholder[] = ["strip", "input", "take", "any"];

export interface PatternIssue {
  readonly fault: string;
  readonly hint?: string;
}

/** Characters; file systems allow no longer names. */
const longestPattern = 250;

/**
 * Normalises a name for patterns: lower case, composed accents, single spaces, no leading zeros.
 */
export function normalizeFileName(name: string): string {
  return normalizeName(name)
    .replace(/\s+/gu, " ")
    .replace(/(?<!\d)0+(?=\d)/g, "");
}

/**
 * Reads a pattern: a file's name in which `<strip>`, `<input>`, `<take>` and `<any>` stand for the
 * parts that differ.
 *
 * @param written with or without the extension
 *
 * @param under the input under which it is listed in the desk file, if any
 *
 * @param inputs of the desk: a word of the pattern that is an input's name means that input
 */
export function parsePattern(
  written: string,
  under: string | undefined,
  inputs: readonly string[],
): NamePattern | PatternIssue {
  const text = collapseSpace(written);
  const fault = textFault(text);
  if (fault !== undefined) return fault;
  const parts: PatternPart[] = [];
  // Every second piece was between angle brackets.
  for (const [k, piece] of text
    .replace(recordingExtension, "")
    .split(/<([^<>]*)>/)
    .entries()) {
    if (k % 2 === 0) {
      if (/[<>]/.test(piece)) return strayBracket(text);
      if (piece !== "") parts.push({ kind: "text", text: piece });
      continue;
    }
    const kind = placeholders.find((one) => one === normalizeName(piece.trim()));
    if (kind === undefined) return unknownPlaceholder(piece);
    if (kind !== "any" || parts.at(-1)?.kind !== "any") parts.push({ kind });
  }
  const input = under ?? inputIn(parts, inputs);
  const unfit = partsFault(text, parts, input);
  if (unfit !== undefined) return unfit;
  return { text, ...(input === undefined ? {} : { input }), parts: withoutZeros(parts) };
}

/** The one input named in a pattern without `<input>`. */
function inputIn(parts: readonly PatternPart[], inputs: readonly string[]): string | undefined {
  if (parts.some(({ kind }) => kind === "input")) return undefined;
  const texts = parts.flatMap((part) => (part.kind === "text" ? normalizeFileName(part.text) : []));
  const named = inputs.filter((input) =>
    texts.some((text) => holdsWord(text, normalizeFileName(input))),
  );
  return named.length === 1 ? named[0] : undefined;
}

function holdsWord(text: string, word: string): boolean {
  const sign = /[\p{L}\p{M}\p{N}]/u;
  for (let at = text.indexOf(word); at >= 0; at = text.indexOf(word, at + 1)) {
    const beside = [text[at - 1], text[at + word.length]];
    if (beside.every((one) => one === undefined || !sign.test(one))) return true;
  }
  return false;
}

function textFault(text: string): PatternIssue | undefined {
  if (text === "") return { fault: "a pattern is left empty" };
  const fault = validateLine(text, longestPattern);
  if (fault !== undefined) return { fault: `a pattern ${fault}` };
  if (!/[/\\]/.test(text)) return undefined;
  return {
    fault: `pattern "${text}" fits no file: a file's name has no slash`,
    hint: "Folders do not count: write only the file's name.",
  };
}

function strayBracket(text: string): PatternIssue {
  return {
    fault: `in pattern "${text}" a "<" or ">" is alone`,
    hint: "They enclose a placeholder, e.g. <strip>; <any> stands for any characters.",
  };
}

function unknownPlaceholder(piece: string): PatternIssue {
  const like = findClosestWord(piece, placeholders);
  const all = placeholders.map((one) => `<${one}>`).join(", ");
  const hint = like === undefined ? `There are ${all}.` : `Did you mean <${like}>?`;
  return { fault: `"<${piece}>" is not a placeholder`, hint };
}

/** Why no name could match, or matches would be ambiguous. */
function partsFault(
  text: string,
  parts: readonly PatternPart[],
  input: string | undefined,
): PatternIssue | undefined {
  const count = (kind: Placeholder) => parts.filter((part) => part.kind === kind).length;
  const twice = (["strip", "input", "take"] as const).find((kind) => count(kind) > 1);
  if (twice !== undefined) return { fault: `pattern "${text}" holds <${twice}> twice` };
  if (input !== undefined && count("input") > 0) {
    return {
      fault: `pattern "${text}" holds <input>, though it is listed under ${input}`,
      hint: "Remove one of the two.",
    };
  }
  if (count("strip") === 0 && count("input") === 0 && input === undefined) {
    return {
      fault: `pattern "${text}" names no path: neither <strip> nor <input> is in it`,
      hint: "Write <strip> where the strip's name is. A text with # or : in it needs quotes.",
    };
  }
  const k = parts.findIndex((part, i) => isNumber(part) && startsWithNumber(parts[i + 1]));
  if (k < 0) return undefined;
  return {
    fault: `pattern "${text}": a number right after <${parts[k].kind}> cannot be distinguished from it`,
    hint: "Put something other than a digit between the two.",
  };
}

function isNumber({ kind }: PatternPart): boolean {
  return kind === "strip" || kind === "take";
}

function startsWithNumber(part: PatternPart | undefined): boolean {
  if (part === undefined) return false;
  return part.kind === "text" ? /^\d/.test(part.text) : isNumber(part);
}

/** Removes zeros directly before a strip or take number: they are its leading zeros. */
function withoutZeros(parts: readonly PatternPart[]): readonly PatternPart[] {
  return parts.flatMap((part, k): readonly PatternPart[] => {
    if (part.kind !== "text") return [part];
    const next = parts[k + 1];
    const text = normalizeFileName(part.text);
    const bare = next !== undefined && isNumber(next) ? text.replace(/(?<!\d)0$/, "") : text;
    return bare === "" ? [] : [{ kind: "text", text: bare }];
  });
}
