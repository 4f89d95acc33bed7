import { normalizeFileName } from "../../desk/name-pattern.js";
import { recordingExtension } from "../../desk/recording-kinds.js";
import type { DeskPath, NamePattern, PatternPart } from "../../desk/types.js";

/** One way in which a file's name fits a pattern of the desk file. */
export interface PatternMatch {
  readonly pattern: NamePattern;
  /** Absent if the file holds every strip, or every input. */
  readonly strip?: string;
  readonly input?: string;
  readonly take?: number;
}

/** Values of the placeholders in one way of matching. */
type Values = Omit<PatternMatch, "pattern">;

/** Names of the desk that placeholders can match. */
interface Known {
  readonly strips: readonly Name[];
  readonly inputs: readonly Name[];
}

interface Name {
  readonly name: string;
  readonly text: string;
}

/**
 * All patterns that a name fits, with the values of their placeholders; more than one match per
 * pattern only for different strips or inputs. Of several possible takes, the one in which `<any>`
 * matches least.
 *
 * @param file name, with or without folder and extension
 * @example
 * const path = (strip, input) => ({ path: `${strip}/${input}`, strip, input, family: input });
 * matchPatterns("7-mic.wav", [], [path("7", "mic")]); // []
 */
export function matchPatterns(
  file: string,
  patterns: readonly NamePattern[],
  paths: readonly DeskPath[],
): readonly PatternMatch[] {
  if (patterns.length === 0) return [];
  const known = { strips: namesOf(paths, "strip"), inputs: namesOf(paths, "input") };
  return fits(file, patterns, known);
}

/**
 * A pattern that a name would fit if the desk had such a strip.
 *
 * @example
 * findUnknownStrip("99-mic.wav", [], []); // undefined
 */
export function findUnknownStrip(
  file: string,
  patterns: readonly NamePattern[],
  paths: readonly DeskPath[],
): PatternMatch | undefined {
  if (patterns.length === 0) return undefined;
  const numbers = new Set(normalizeFileName(baseName(file)).match(/\d+/g));
  const strips = [...numbers].map((name) => ({ name, text: name }));
  return fits(file, patterns, { strips, inputs: namesOf(paths, "input") })[0];
}

function fits(
  file: string,
  patterns: readonly NamePattern[],
  known: Known,
): readonly PatternMatch[] {
  const name = normalizeFileName(baseName(file)).trim();
  if (name.length > longestName) return [];
  const kinds = Array.from({ length: name.length }, (_, at) => kindOf(name[at]));
  const within = ({ text }: Name) => name.includes(text);
  const here = { strips: known.strips.filter(within), inputs: known.inputs.filter(within) };
  return patterns.flatMap((pattern) =>
    waysToFit(name, kinds, pattern.parts, here).map((values) => ({
      pattern,
      ...(pattern.input === undefined ? {} : { input: pattern.input }),
      ...values,
    })),
  );
}

/** Without folder and extension. */
function baseName(file: string): string {
  return file.replace(/^.*[/\\]/s, "").replace(recordingExtension, "");
}

/** Characters; file systems allow no longer names. */
const longestName = 255;

function namesOf(paths: readonly DeskPath[], kind: "strip" | "input"): readonly Name[] {
  return [...new Set(paths.map((path) => path[kind]))].map((name) => ({
    name,
    text: normalizeFileName(name),
  }));
}

/**
 * Dynamic programming from the last part to the first: for each position, the ways in which the
 * rest of the name fits the remaining parts. The work grows with the length of name and pattern,
 * not with the number of ways.
 */
function waysToFit(
  name: string,
  kinds: readonly Kind[],
  parts: readonly PatternPart[],
  known: Known,
): readonly Values[] {
  const places = name.length + 1;
  let behind: (readonly Values[])[] = Array.from({ length: places }, (_, at) =>
    at === name.length ? [{}] : [],
  );
  for (let k = parts.length - 1; k >= 0; k--) {
    const [before, part, after] = [parts[k - 1], parts[k], parts[k + 1]];
    const here: (readonly Values[])[] = Array.from({ length: places }, () => []);
    let later: readonly Values[] = [];
    for (let at = name.length; at >= 0; at--) {
      if (part.kind === "any") {
        if (!splits(kinds, at, after)) later = merged(behind[at], later);
        if (!splits(kinds, at, before)) here[at] = later;
      } else if (part.kind === "text") {
        const end = textEnd(name, at, part.text);
        if (end !== undefined) here[at] = behind[end];
      } else {
        here[at] = valuesAt(name, kinds, at, part.kind, known).reduce<readonly Values[]>(
          (ways, { value, end }) =>
            merged(
              ways,
              behind[end].map((rest) => ({ ...rest, [part.kind]: value })),
            ),
          [],
        );
      }
    }
    behind = here;
  }
  return behind[0];
}

/**
 * Where a text that begins at a position ends, if the name has it there. If `<any>` matches
 * nothing, its two spaces count as one, and as none at either end of the name.
 */
function textEnd(name: string, at: number, text: string): number | undefined {
  const from = text.startsWith(" ") && (at === 0 || name[at - 1] === " ") ? 1 : 0;
  const last = at + text.length - from;
  const to = text.endsWith(" ") && last === name.length + 1 ? -1 : undefined;
  const own = text.slice(from, to);
  return name.startsWith(own, at) ? at + own.length : undefined;
}

interface Value {
  readonly value: string | number;
  /** Position in the name where it ends. */
  readonly end: number;
}

/** Possible values of a placeholder from a position on; leading zeros of a number do not count. */
function valuesAt(
  name: string,
  kinds: readonly Kind[],
  at: number,
  kind: "strip" | "input" | "take",
  { strips, inputs }: Known,
): readonly Value[] {
  let from = at;
  while (name[from] === "0" && kinds[from + 1] === "digit") from++;
  if (kind === "take") {
    let end = from;
    while (kinds[end] === "digit") end++;
    const digits = end - from;
    return digits > 0 && digits <= mostDigits
      ? [{ value: Number(name.slice(from, end)), end }]
      : [];
  }
  return (kind === "strip" ? strips : inputs).flatMap(({ name: value, text }) =>
    name.startsWith(text, from) ? [{ value, end: from + text.length }] : [],
  );
}

/** Digits of a take number; a time to the second (20310314093005) counts as one. */
const mostDigits = 15;

type Kind = "digit" | "letter" | "other";

function kindOf(sign: string): Kind {
  if (/\d/.test(sign)) return "digit";
  return /[\p{L}\p{M}]/u.test(sign) ? "letter" : "other";
}

/**
 * Whether `<any>` would end or begin within a number or, next to a name, within a word: in
 * `<any><strip>` the 7 of 17 is not strip 7, nor the end of "extra" strip A.
 */
function splits(kinds: readonly Kind[], at: number, beside: PatternPart | undefined): boolean {
  if (beside === undefined || at === 0) return false;
  const kind = kinds[at];
  if (kind !== kinds[at - 1]) return false;
  return kind === "digit" || (kind === "letter" && beside.kind !== "text");
}

/** More ways than this are not kept: it is enough to know that there are several. */
const mostWays = 4;

/** Ways with different strips or inputs, those of the first list first. */
function merged(one: readonly Values[], other: readonly Values[]): readonly Values[] {
  if (other.length === 0) return one;
  if (one.length === 0) return other;
  const more = other.filter(
    (way) => !one.some(({ strip, input }) => strip === way.strip && input === way.input),
  );
  return more.length === 0 ? one : [...one, ...more].slice(0, mostWays);
}
